//! The window's whole state and the order in which it is shown.
//!
//! Small on purpose: panels read [`Seen`] and push commands, [`apply`] carries them out after the last
//! panel. Nothing here computes; the session does, once per change.

use std::path::{Path, PathBuf};

use egui::{CentralPanel, Frame, Margin, Panel, Role, Sense, Ui, UiBuilder, ViewportCommand, WidgetInfo};

use crate::bench::Act;

use super::bay::Bay;
use super::board::board_ui::{Pointed, board_ui, named};
use super::board::geometry::Extent;
use super::board::suspicion;
use super::board::tip::{Ahead, Beforehand, TIP_ROOM, proving_tip_ui, tip_ui};
use super::command::{Command, Commands, Dialog, Leaving, Source};
use super::desktop::Desktop;
use super::dress::{Dress, Sheet};
use super::filing::{self, Filing};
use super::follow::Follow;
use super::ids;
use super::panel::conditions::ConditionsState;
use super::panel::dialogs::DialogsState;
use super::panel::prove::PointedAct;
use super::panel::{
    aside, bar, build, chain, clock, conditions, dialogs, fault_table, find, foot, found, hunt, instruments, logic,
    names, overlay, pane, prove, reasons, steps as steps_panel, strip,
};
use super::row::Row;
use super::seen::{Desk, Drawer, Look, Room, Seen, Shown, highlighted};
use super::space::{Beside, Pair, Space, Stand, Wanted};
use super::theme::Palette;
use super::tongue::{self, t};
use super::tool::Use;
use super::widget::grown;
use super::{apply, demonstrating, shortcuts, steps};
use crate::words::Language;

/// Width of the side with conditions and hazards.
const SIDE: f32 = 292.0;
/// Width of what is pulled out at the left.
const DRAWER: f32 = 282.0;
/// Height of its first line.
const HEAD: f32 = 18.0;
/// Width of the window from which the drawer is out from the beginning.
const ROOMY: f32 = 1200.0;

/// What of the window is shown, leaving what panels keep to be changed.
macro_rules! shown {
    ($app:expr) => {
        Shown { room: &$app.room, look: &$app.look, dress: &$app.dress, filing: &$app.filing, front: $app.front.number }
    };
}

/// The window.
#[derive(Debug)]
pub struct App {
    /// The circuit that keyboard, drawers and conditions are about.
    pub(super) front: Bay,
    /// The others that are open.
    pub(super) row: Row,
    pub(super) room: Room,
    pub(super) look: Look,
    pub(super) dress: Dress,
    pub(super) filing: Filing,
    pub(super) may_close: bool,
    /// The drawers are as they were left, and not pulled out because there is room.
    pub(super) is_set_out: bool,
    /// A finger has touched the window and may be there still.
    is_touched: bool,
    follow: Follow,
    conditions: ConditionsState,
    dialogs: DialogsState,
    commands: Commands,
    frames: u64,
    report_first_frame: Option<std::time::Instant>,
    /// What the desktop asks for, for as long as nobody has chosen.
    pub(super) desktop: Desktop,
    /// The language of what is suggested.
    suggested_in: Language,
}

impl App {
    /// The window on a file, or on the worked example where none is named or the file is not sound.
    pub fn new(start: Option<PathBuf>) -> Self {
        let (front, row, room, look, filing) = filing::opening(start);
        let mut app = Self {
            front,
            row,
            room,
            look,
            dress: Dress::default(),
            filing,
            is_set_out: false,
            may_close: false,
            is_touched: false,
            follow: Follow::default(),
            conditions: ConditionsState::default(),
            dialogs: DialogsState::default(),
            commands: Commands::default(),
            frames: 0,
            report_first_frame: None,
            desktop: Desktop::default(),
            suggested_in: Language::English,
        };
        demonstrating::show(&mut app);
        app
    }

    /// The window on a file, or as it was left, on a desktop that asks for language, units and paper until somebody chooses
    /// them; how it stands is kept in this folder from now on, where there is one.
    pub fn on_desktop(ctx: &egui::Context, folder: Option<&Path>, start: Option<PathBuf>, desktop: Desktop) -> Self {
        let is_named = start.is_some();
        let mut app = Self::new(start);
        app.desktop = desktop;
        app.look.paper = desktop.paper;
        app.look.units = app.look.units_for(&app.desktop, app.bench().circuit());
        let Some(folder) = folder else { return app };
        // What was chosen here before comes first.
        filing::keep_in(&mut app, ctx, folder, is_named);
        if is_named {
            demonstrating::show(&mut app);
        }
        app
    }

    /// Says on stderr how long after `began` the first frame was on screen. For measuring only.
    pub fn reporting_first_frame(mut self, began: std::time::Instant) -> Self {
        self.report_first_frame = Some(began);
        self
    }

    /// The bench in front, for tests.
    pub fn bench(&self) -> &crate::bench::Bench {
        self.front.session.bench()
    }

    /// The verdict on it, for tests.
    pub fn verdict(&self) -> &crate::study::answer::Verdict {
        self.front.session.verdict()
    }

    /// All that are open, in their order, for tests.
    pub fn bays(&self) -> impl Iterator<Item = &Bay> {
        self.row.all(&self.front)
    }

    /// Whether something is still being worked out beside the window, for tests.
    pub fn is_at_work(&self) -> bool {
        self.front.studies.is_at_work()
    }

    /// What is in hand in front, for tests.
    pub fn desk(&self) -> &Desk {
        &self.front.desk
    }

    /// How the window is set out, for tests.
    pub fn room(&self) -> &Room {
        &self.room
    }

    /// The sheet and the size of letters, for tests.
    pub fn dress(&self) -> &Dress {
        &self.dress
    }

    fn panels_ui(&mut self, ui: &mut Ui) {
        let palette = self.dress.palette(ui.ctx());
        for bay in self.row.all_mut(&mut self.front) {
            bay.session.take_readings(&bay.desk.instruments);
        }
        let all: Vec<Seen<'_>> = self.row.all(&self.front).map(|bay| Seen::of(shown!(self), bay, palette)).collect();
        let seen = Seen::of(shown!(self), &self.front, palette);
        let commands = &mut self.commands;
        let frame = |x: i8, y: i8| Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y));
        let band = |ui: &mut Ui, name: &'static str, show: &mut dyn FnMut(&mut Ui)| {
            Panel::top(name).resizable(false).frame(frame(8, 5)).show(ui, |ui| show(ui));
        };
        band(ui, "bar", &mut |ui| bar::bar_ui(ui, &seen, commands));
        let both = self.row.seen(&self.front, self.room.pair);
        if all.len() > 1 {
            let together = (self.row.side_by_side, self.row.together);
            let in_sight = if both.len() > 1 { &both[..] } else { &[] };
            let row = Panel::top("names").resizable(false).frame(frame(8, 3));
            row.show(ui, |ui| names::names_ui(ui, &all, in_sight, together, commands));
        }
        let chains: Vec<Seen<'_>> = all.iter().filter(|seen| both.contains(&seen.number)).copied().collect();
        if chains.len() > 1 {
            let close = if seen.room.space.is_low { 2 } else { 5 };
            let row = Panel::top("chains").resizable(false).frame(frame(8, close));
            row.show(ui, |ui| chain::chains_ui(ui, &chains, commands));
        } else {
            band(ui, "chain", &mut |ui| chain::chain_ui(ui, &seen, commands));
        }
        if seen.room.space.is_low {
            foot::low_ui(ui, &seen, &frame, commands);
        } else {
            foot::foot_ui(ui, &seen, &frame, commands);
        }
        let pointed_act = self.beside_ui(ui, palette);
        let seen = Seen::of(shown!(self), &self.front, palette);
        let commands = &mut self.commands;
        // Beside the conditions and not above them, so that they keep still.
        if !seen.room.space.is_low && reasons::is_open(&seen) {
            Panel::top("reasons").resizable(false).frame(frame(8, 5)).show(ui, |ui| {
                reasons::reasons_ui(ui, &seen, commands);
            });
        }
        if !seen.room.space.is_low && foot::has_instruments(&seen) {
            let band = Panel::bottom("instruments")
                .resizable(false)
                .exact_size(instruments::height(ui.ctx()))
                .frame(frame(8, 5));
            band.show(ui, |ui| instruments::instruments_ui(ui, &seen, commands));
        }
        if clock::stands_beside(&seen, seen.room.stand) {
            let width = clock::width_beside(ui.ctx(), &seen, ui.available_size(), self.front.session.extent());
            let panel = Panel::right("clock beside").resizable(false).exact_size(width).frame(frame(8, 6));
            panel.show(ui, |ui| clock::beside_ui(ui, &seen, commands));
        }
        let beside = match seen.room.stand {
            Stand::Below => None,
            Stand::Beside => Some(Panel::left("aside")),
            Stand::OverGauges { .. } => Some(Panel::right("over gauges")),
        };
        if let Some(panel) = beside {
            let width = aside::width(ui.ctx(), seen.room.stand);
            let panel = panel.resizable(false).exact_size(width).frame(frame(6, 6));
            panel.show(ui, |ui| aside::aside_ui(ui, &seen, commands));
        }
        let drawings = self.drawings_ui(ui, palette, pointed_act.as_ref());
        // Last, for what is shown later lies above it.
        self.follow.frame(ui.ctx(), drawings, palette.focus);
    }

    /// The drawing in front, or it and the one beside it; dialogs and tips over them. Yields where the drawings are.
    fn drawings_ui(&mut self, ui: &mut Ui, palette: Palette, pointed_act: Option<&PointedAct>) -> egui::Rect {
        let pair = self.room.pair;
        let numbers = self.row.seen(&self.front, pair);
        let mut pointed = None;
        let central = CentralPanel::default().frame(Frame::new().fill(palette.ground)).show(ui, |ui| {
            let room = ui.available_rect_before_wrap();
            let bays: Vec<&Bay> = numbers.iter().filter_map(|number| self.row.get(&self.front, *number)).collect();
            let pages: Vec<Extent> = bays.iter().map(|bay| bay.session.extent()).collect();
            let both: Vec<Seen<'_>> = bays.iter().map(|bay| Seen::of(shown!(self), bay, palette)).collect();
            let lines = pane::lines(ui, &both);
            let places = pane::places(room, &pages, lines.0 + lines.1);
            for (number, place) in numbers.iter().zip(places) {
                let lines = (numbers.len() > 1).then_some(lines);
                let shown = self.drawing_ui(ui, palette, (*number, place, lines), pointed_act);
                pointed = pointed.take().or(shown.map(|shown| (*number, shown)));
            }
            room
        });
        let room = central.inner;
        let seen = Seen::of(shown!(self), &self.front, palette);
        overlay::hovering_ui(ui, &seen, room);
        let all: Vec<Seen<'_>> = self.row.all(&self.front).map(|bay| Seen::of(shown!(self), bay, palette)).collect();
        dialogs::dialogs_ui(ui, &seen, &all, &mut self.dialogs, &mut self.commands);
        if self.room.dialog.is_some() {
            return room;
        }
        // A tip is larger than the drawing may be in a low window.
        let over = if self.room.space.is_low || pair.has_two() { ui.ctx().content_rect() } else { room };
        if let Some(PointedAct { acts, mind, tip_at: Some(at) }) = &pointed_act {
            let places = prove::places(self.front.session.bench(), acts);
            let sheet = self.front.session.drawn();
            let side = self.front.board.free_side(room, &sheet, &places, TIP_ROOM);
            let hidden = self.front.session.eyes().is_some();
            let beside = self.foreseen_beside(self.front.number, acts);
            let circuit = self.front.session.bench().circuit_shared();
            let foreseen = self.front.session.foresee(acts);
            let at = egui::pos2(side, *at);
            proving_tip_ui(ui, over, (&circuit, &palette, hidden), (at, acts, mind), foreseen, beside.as_ref());
        } else if let Some((number, (name, pointed))) = pointed {
            self.tip_ui(ui, over, (number, &name), &pointed, palette);
        }
        room
    }

    /// The drawing of one circuit, with its name, conditions and ledger about it where two are seen; what is pointed at,
    /// and what that is called.
    fn drawing_ui(
        &mut self,
        ui: &mut Ui,
        palette: Palette,
        (number, place, lines): (u32, egui::Rect, Option<(f32, f32)>),
        pointed_act: Option<&PointedAct>,
    ) -> Option<(String, Pointed)> {
        let is_meant = number == self.front.number || self.row.together;
        let look = (self.look.symbols, self.look.readings);
        let bay = self.row.get_mut(&mut self.front, number)?;
        let mut marked = highlighted(bay.session.verdict(), &bay.desk);
        let pointed_at = pointed_act.iter().filter(|_| is_meant);
        marked.extend(pointed_at.flat_map(|p| prove::places(bay.session.bench(), &p.acts)));
        let is_front = number == self.front.number;
        let bay = self.row.get_mut(&mut self.front, number)?;
        // Taken out while it is shown, for what is shown reads all the rest.
        let mut board = std::mem::take(&mut bay.board);
        let bay = self.row.get(&self.front, number)?;
        let seen = Seen::of(shown!(self), bay, palette);
        if let Some(test) = suspicion::offered(&seen).filter(|_| is_front) {
            marked.extend(prove::places(seen.bench, &test.setup.after));
        }
        let bay = self.row.get_mut(&mut self.front, number)?;
        let sheet = bay.session.sheet(look, &marked, &bay.desk.instruments);
        let extent = bay.session.extent();
        let bay = self.row.get(&self.front, number)?;
        let seen = Seen::of(shown!(self), bay, palette);
        let mut asked = Commands::default();
        let room = lines.map_or(place, |lines| pane::pane_ui(ui, &seen, place, lines, &mut asked));
        let pointed = ui
            .scope_builder(UiBuilder::new().id_salt(("bay", number)).max_rect(room), |ui| {
                let pointed = board_ui(ui, &seen, (&sheet, extent), &mut board, &mut asked);
                overlay::overlay_ui(ui, &seen, room, board.view.corner(), &mut asked);
                pointed
            })
            .inner;
        seen.ask(asked, &mut self.commands);
        let pointed = pointed.map(|pointed| {
            let name = named(&seen, &sheet, pointed.subject);
            (name, pointed)
        });
        self.row.get_mut(&mut self.front, number)?.board = board;
        pointed
    }

    /// Conditions and drawer beside the drawing, or folded to strips; a proving act that is pointed at.
    fn beside_ui(&mut self, ui: &mut Ui, palette: Palette) -> Option<PointedAct> {
        let seen = Seen::of(shown!(self), &self.front, palette);
        let commands = &mut self.commands;
        let frame = |x: i8, y: i8| Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y));
        let Space { is_narrow, is_low, .. } = seen.room.space;
        let window = ui.available_width();
        if is_narrow {
            strip::strips_ui(ui, &seen, commands);
        }
        if !is_narrow || seen.room.unfolded.has_conditions() {
            let width = fitting(SIDE, is_narrow, window);
            Panel::right("side").resizable(false).exact_size(width).frame(frame(8, 6)).show(ui, |ui| {
                foot::scrolled(ui, ("side", is_low), &mut |ui| {
                    // Not all of it is in sight at once: what was asked for is.
                    if is_low && seen.room.unfolded.beside == Some(Beside::Hazards) {
                        found::found_ui(ui, &seen, commands);
                        ui.separator();
                        conditions::conditions_ui(ui, &seen, &mut self.conditions, commands);
                        return;
                    }
                    // Whatever the circuit feels, hazards keep room for the gravest in full.
                    let conditions_height =
                        (ui.available_height() - found::least_height(ui, &seen)).max(ui.available_height() * 0.45);
                    ui.allocate_ui(egui::vec2(ui.available_width(), conditions_height), |ui| {
                        ui.set_max_height(conditions_height);
                        conditions::conditions_ui(ui, &seen, &mut self.conditions, commands);
                    });
                    ui.separator();
                    found::found_ui(ui, &seen, commands);
                });
            });
        }
        // Beside the conditions too: they are what is turned while time passes.
        if seen.clock.is_some() && !is_low {
            let others = if foot::has_instruments(&seen) { instruments::height(ui.ctx()) } else { 0.0 };
            let height = clock::height(ui, others);
            let clock = Panel::bottom("clock").resizable(false).exact_size(height).frame(frame(8, 4));
            clock.show(ui, |ui| clock::clock_ui(ui, &seen, commands));
        }
        let drawer = seen.room.open_drawer()?;
        let width = fitting(DRAWER, is_narrow, window);
        let panel = Panel::left("drawer").resizable(false).exact_size(width).frame(frame(8, 6));
        // Taken out while they are shown, for what is shown reads all the rest.
        let mut drawers = std::mem::take(&mut self.front.drawers);
        let seen = Seen::of(shown!(self), &self.front, palette);
        let mut pointed = None;
        panel.show(ui, |ui| {
            // The keyboard comes here, and goes on to what is in the drawer.
            let high = if drawer == Drawer::Find { find::head_height(ui) } else { HEAD };
            let head = ui.max_rect().with_max_y(ui.max_rect().top() + high);
            let head = ui.interact(head, ids::drawer_head(), Sense::focusable_noninteractive());
            head.widget_info(|| WidgetInfo::labeled(Role::Heading, true, t!("drawer-head", name = drawer.word())));
            // Each drawer is where it was left, not where the last one was.
            foot::scrolled(ui, (drawer, is_low), &mut |ui| match drawer {
                Drawer::Prove => pointed = prove::prove_ui(ui, &seen, commands),
                Drawer::Logic => logic::logic_ui(ui, &seen),
                Drawer::Faults => fault_table::fault_table_ui(ui, &seen, &mut drawers.faults, commands),
                Drawer::Find => find::find_ui(ui, &seen, &mut drawers.find, commands),
                Drawer::Hunt => hunt::hunt_ui(ui, &seen, &mut drawers.hunt, commands),
                Drawer::Steps => steps_panel::steps_ui(ui, &seen, commands),
                Drawer::Build => build::build_ui(ui, &seen, &mut drawers.build, commands),
            });
        });
        self.front.drawers = drawers;
        pointed
    }

    fn tip_ui(&mut self, ui: &Ui, room: egui::Rect, of: (u32, &str), pointed: &Pointed, palette: Palette) {
        let (number, name) = of;
        let (mut foreseen, mut reading, mut beside) = (None, None, None);
        if let Use::Act(act) = &pointed.what {
            beside = self.foreseen_beside(number, std::slice::from_ref(act));
        }
        let Some(bay) = self.row.get_mut(&mut self.front, number) else { return };
        match &pointed.what {
            Use::Act(act) => foreseen = Some(bay.session.foresee(std::slice::from_ref(act)).clone()),
            // In a hunt nothing is read before it counts.
            Use::Handle { shows: Some(shows), .. } if bay.session.eyes().is_none() => {
                reading = Some(bay.session.read_ahead(&bay.desk.instruments, shows));
            }
            Use::Handle { .. } | Use::Change(_) | Use::FirstClip(_) | Use::Build(_) | Use::Look | Use::Nothing(_) => {}
        }
        let ahead = match (&foreseen, &reading) {
            (Some(foreseen), _) => Ahead::Act(foreseen, beside.as_ref()),
            (None, Some(reading)) => Ahead::Reading(reading),
            (None, None) => Ahead::Nothing,
        };
        let Some(bay) = self.row.get(&self.front, number) else { return };
        let seen = Seen::of(shown!(self), bay, palette);
        tip_ui(ui, room, &seen, (pointed.at, name), &pointed.what, ahead);
    }

    /// What acts on a circuit would come to on the other, where they are done on both.
    fn foreseen_beside(&mut self, number: u32, acts: &[Act]) -> Option<Beforehand> {
        if !self.row.together {
            return None;
        }
        let beside = self.row.beside()?.number;
        let other = if number == self.front.number { beside } else { self.front.number };
        let bay = self.row.get_mut(&mut self.front, other)?;
        let hidden = bay.session.eyes().is_some();
        Some(Beforehand { name: bay.name.clone(), hidden, foreseen: bay.session.foresee(acts).clone() })
    }

    /// Files dropped on the window, and the window asked to close.
    fn read_window(&mut self, ctx: &egui::Context) {
        let (dropped, closing) = ctx.input(|i| {
            let dropped: Vec<PathBuf> = i.raw.dropped_files.iter().map(|file| file.path().to_path_buf()).collect();
            (dropped, i.viewport().close_requested())
        });
        match &dropped[..] {
            [] => {}
            [path] => self.commands.push(Command::Ask(Some(Dialog::LetGo(path.clone())))),
            // Several are meant to be compared: they stand beside each other.
            paths => paths.iter().for_each(|path| {
                self.commands.push(Command::OpenBeside(Source::File(path.clone())));
            }),
        }
        let is_changed = self.bays().any(|bay| !bay.session.bench().changes().is_empty() || bay.papers.is_changed());
        if closing && !self.may_close && is_changed {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.commands.push(Command::Ask(Some(Dialog::Leaving(Leaving::Close))));
        }
    }

    /// Pulls the drawer out where there is room, and begins what it shows once the first frame is on screen.
    fn work(&mut self, ctx: &egui::Context) {
        if self.frames == 1 && !self.is_set_out && ctx.content_rect().width() >= ROOMY {
            self.room.drawer = Some(Drawer::Prove);
        }
        self.front.studies.follow(self.front.session.bench());
        self.front.studies.take_up();
        filing::work_on_hunt(self, ctx);
        if let Some(hunt) = self.front.studies.hunting.take() {
            steps::begin_hunt(self, hunt);
        }
        if self.room.dialog == Some(Dialog::Card) {
            let style = (self.look.paper, self.look.symbols, tongue::spoken(), tongue::measured());
            self.front.studies.work_on_card(ctx, style);
        } else if let Some(drawer) = self.room.drawer {
            if self.frames == 1 {
                ctx.request_repaint();
            } else {
                self.front.studies.work(ctx, drawer);
            }
        }
    }

    /// Lets time pass wherever the clock plays.
    fn pass_time(&mut self, ctx: &egui::Context) {
        // A frame that was long in coming lets no more than a tenth of a second pass.
        let seconds = ctx.input(|i| f64::from(i.stable_dt)).min(0.1);
        if matches!(self.room.dialog, Some(Dialog::Leaving(_))) {
            // What is asked is about the truck as it stands.
            return;
        }
        for bay in self.row.all_mut(&mut self.front) {
            if bay.session.clock().is_some_and(|clock| clock.playing) {
                bay.with_clock(|clock| clock.pass(seconds));
                ctx.request_repaint();
            }
        }
    }

    /// The first touch of a finger makes what is pressed large enough for fingers, unless somebody has chosen otherwise:
    /// once it is lifted, so that nothing moves away under it.
    fn feel_fingers(&mut self, ctx: &egui::Context) {
        let is_touch = |event: &egui::Event| matches!(event, egui::Event::Touch { .. });
        self.is_touched |= ctx.input(|i| i.events.iter().any(is_touch));
        if self.is_touched && ctx.input(|i| !i.any_touches() && !i.pointer.any_down()) {
            self.is_touched = false;
            self.dress.touch();
            ctx.request_repaint();
        }
    }

    /// How much room there is, and how much of a second circuit is seen in it.
    fn measure(&mut self, ctx: &egui::Context) {
        let (window, grown) = (ctx.content_rect().size(), grown(ctx));
        let two = self.row.side_by_side && self.row.beside().is_some();
        self.room.pair = if two { Pair::of(window, grown) } else { Pair::Folded };
        let wanted = Wanted { for_a_class: self.dress.sheet == Sheet::Projector, two: self.room.pair.has_two() };
        self.room.space = Space::of(window, grown, wanted);
        self.room.wide = window.x - self.beside(ctx, window.x);
        let seen = Seen::of(shown!(self), &self.front, self.dress.palette(ctx));
        self.room.stand = aside::stand(ctx, &seen, self.front.session.extent());
        super::build::sync(&mut self.row, &mut self.front, &self.room);
    }

    /// Width that conditions and drawer take beside the drawing, with the strips they are folded to.
    fn beside(&self, ctx: &egui::Context, window: f32) -> f32 {
        let Space { is_narrow, .. } = self.room.space;
        let side = (!is_narrow || self.room.unfolded.has_conditions()).then_some(SIDE);
        let drawer = self.room.open_drawer().map(|_| DRAWER);
        let panels: f32 = [side, drawer].into_iter().flatten().map(|full| fitting(full, is_narrow, window)).sum();
        let strips = match self.room.drawer {
            _ if !is_narrow => 0.0,
            None => 1.0,
            Some(_) => 2.0,
        };
        panels + strips * strip::width(ctx)
    }

    /// The hook for measuring how soon the window is there: the second frame begins when the first is on screen.
    fn count_frames(&mut self, ctx: &egui::Context) {
        self.frames += 1;
        let Some(began) = self.report_first_frame else { return };
        if self.frames == 1 {
            ctx.request_repaint();
        } else {
            eprintln!("first frame after {} ms", began.elapsed().as_millis());
            self.report_first_frame = None;
        }
    }
}

/// Width of a panel beside the drawing that is so wide where there is room.
fn fitting(full: f32, is_narrow: bool, window: f32) -> f32 {
    if is_narrow { full.min(window / 2.0) } else { full }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.count_frames(ui.ctx());
        let language = self.look.language.unwrap_or(self.desktop.language);
        tongue::speak(language);
        tongue::measure(self.look.units.measure());
        if self.suggested_in != language {
            // What was opened before anything was known of the language.
            self.suggested_in = language;
            apply::suggest_again(self);
        }
        self.dress.size(ui.ctx());
        self.measure(ui.ctx());
        self.read_window(ui.ctx());
        self.follow.ask(ui.ctx());
        shortcuts::read(ui.ctx(), (&self.room, &self.row), &self.front, &mut self.commands);
        self.work(ui.ctx());
        self.pass_time(ui.ctx());
        self.panels_ui(ui);
        let asked = self.commands.take();
        if !asked.is_empty() {
            let drawer = self.room.open_drawer();
            for command in asked {
                apply::apply(self, ui.ctx(), command);
            }
            for bay in self.row.all_mut(&mut self.front) {
                if let Some(showing) = &mut bay.demonstrating {
                    showing.follow(bay.session.bench());
                }
            }
            self.follow.pulled(ui.ctx(), drawer, self.room.open_drawer());
            // What was just done is shown at once, not when the pointer next moves.
            ui.ctx().request_repaint();
        }
        self.feel_fingers(ui.ctx());
        self.follow.keyboard(ui.ctx(), self.room.open_drawer());
        filing::look_after(self, ui.ctx());
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        filing::close(self);
    }
}
