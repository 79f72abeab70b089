//! The window's whole state and the order in which it is shown.
//!
//! Small on purpose: panels read [`Seen`] and push commands, [`apply`] carries them out after the last
//! panel. Nothing here computes; the session does, once per change.

use std::path::{Path, PathBuf};

use egui::{CentralPanel, Frame, Margin, Panel, Ui, ViewportCommand};

use super::board::board_ui::{BoardState, Pointed, board_ui};
use super::board::suspicion;
use super::board::tip::{Ahead, TIP_ROOM, proving_tip_ui, tip_ui};
use super::clock::Clock;
use super::command::{Command, Commands, Dialog, Leaving, Source};
use super::dress::Dress;
use super::filing::{self, Filing};
use super::panel::build::BuildState;
use super::panel::conditions::ConditionsState;
use super::panel::dialogs::DialogsState;
use super::panel::fault_table::FaultTableState;
use super::panel::find::FindState;
use super::panel::hunt::HuntState;
use super::panel::prove::PointedAct;
use super::panel::{
    bar, build, chain, clock, conditions, dialogs, fault_table, find, foot, found, hunt, instruments, logic, overlay,
    prove, reasons, strip,
};
use super::seen::{Desk, Drawer, Look, Seen, Shown, highlighted};
use super::session::Session;
use super::space::{Beside, Space};
use super::studies::Studies;
use super::theme::Palette;
use super::tool::Use;
use super::{apply, shortcuts, steps};

/// Width of the side with conditions and hazards.
const SIDE: f32 = 292.0;
/// Width of what is pulled out at the left.
const DRAWER: f32 = 282.0;
/// Width of the window from which the drawer is out from the beginning.
const ROOMY: f32 = 1200.0;

/// What of the window is shown, leaving what panels keep to be changed.
macro_rules! shown {
    ($app:expr) => {
        Shown {
            session: &$app.session,
            desk: &$app.desk,
            look: &$app.look,
            dress: &$app.dress,
            studies: &$app.studies,
            filing: &$app.filing,
        }
    };
}

/// What the drawers keep between frames.
#[derive(Debug, Default)]
struct Drawers {
    faults: FaultTableState,
    find: FindState,
    hunt: HuntState,
    build: BuildState,
}

/// The window.
#[derive(Debug)]
pub struct App {
    pub(super) session: Session,
    pub(super) studies: Studies,
    pub(super) desk: Desk,
    pub(super) look: Look,
    pub(super) dress: Dress,
    pub(super) board: BoardState,
    pub(super) filing: Filing,
    pub(super) may_close: bool,
    /// The drawers are as they were left, and not pulled out because there is room.
    pub(super) is_set_out: bool,
    conditions: ConditionsState,
    dialogs: DialogsState,
    drawers: Drawers,
    commands: Commands,
    frames: u64,
    report_first_frame: Option<std::time::Instant>,
}

impl App {
    /// The window on a file, or on the worked example where none is named or the file is not sound.
    pub fn new(start: Option<PathBuf>) -> Self {
        let (session, desk, look, filing) = filing::opening(start);
        Self {
            filing,
            is_set_out: false,
            session,
            studies: Studies::default(),
            desk,
            look,
            dress: Dress::default(),
            board: BoardState::default(),
            may_close: false,
            conditions: ConditionsState::default(),
            dialogs: DialogsState::default(),
            drawers: Drawers::default(),
            commands: Commands::default(),
            frames: 0,
            report_first_frame: None,
        }
    }

    /// The window on a file, or as it was left; how it stands is kept in this folder from now on.
    pub fn kept_in(ctx: &egui::Context, folder: &Path, start: Option<PathBuf>) -> Self {
        let is_named = start.is_some();
        let mut app = Self::new(start);
        filing::keep_in(&mut app, ctx, folder, is_named);
        app
    }

    /// Says on stderr how long after `began` the first frame was on screen. For measuring only.
    pub fn reporting_first_frame(mut self, began: std::time::Instant) -> Self {
        self.report_first_frame = Some(began);
        self
    }

    /// The bench, for tests.
    pub fn bench(&self) -> &crate::bench::Bench {
        self.session.bench()
    }

    /// The verdict on it, for tests.
    pub fn verdict(&self) -> &crate::study::answer::Verdict {
        self.session.verdict()
    }

    /// Whether something is still being worked out beside the window, for tests.
    pub fn is_at_work(&self) -> bool {
        self.studies.is_at_work()
    }

    /// What is in hand and open, for tests.
    pub fn desk(&self) -> &Desk {
        &self.desk
    }

    fn panels_ui(&mut self, ui: &mut Ui) {
        let palette = self.dress.palette(ui.ctx());
        self.session.take_readings(&self.desk.instruments);
        let seen = Seen::of(shown!(self), palette);
        let commands = &mut self.commands;
        let frame = |x: i8, y: i8| Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y));
        let band = |ui: &mut Ui, name: &'static str, show: &mut dyn FnMut(&mut Ui)| {
            Panel::top(name).resizable(false).frame(frame(8, 5)).show(ui, |ui| show(ui));
        };
        band(ui, "bar", &mut |ui| bar::bar_ui(ui, &seen, commands));
        band(ui, "chain", &mut |ui| chain::chain_ui(ui, &seen, commands));
        if seen.desk.space.is_low {
            foot::low_ui(ui, &seen, &frame, commands);
        } else {
            foot::foot_ui(ui, &seen, &frame, commands);
        }
        let pointed_act = self.beside_ui(ui, palette);
        let seen = Seen::of(shown!(self), palette);
        let commands = &mut self.commands;
        // Beside the conditions and not above them, so that they keep still.
        if reasons::is_open(&seen) {
            Panel::top("reasons").resizable(false).frame(frame(8, 5)).show(ui, |ui| {
                reasons::reasons_ui(ui, &seen, commands);
            });
        }
        if !seen.desk.space.is_low && !instruments::out(&seen).is_empty() {
            let band = Panel::bottom("instruments").resizable(false).exact_size(instruments::HEIGHT).frame(frame(8, 5));
            band.show(ui, |ui| instruments::instruments_ui(ui, &seen, commands));
        }
        let mut marked = highlighted(self.session.verdict(), &self.desk);
        marked.extend(pointed_act.iter().flat_map(|p| prove::places(self.session.bench(), &p.acts)));
        if let Some(test) = suspicion::offered(&seen) {
            marked.extend(prove::places(self.session.bench(), &test.setup.after));
        }
        let sheet = self.session.sheet((self.look.symbols, self.look.readings), &marked, &self.desk.instruments);
        let extent = self.session.extent();
        let seen = Seen::of(shown!(self), palette);
        let board = CentralPanel::default().frame(Frame::new().fill(palette.ground)).show(ui, |ui| {
            let room = ui.available_rect_before_wrap();
            let pointed = board_ui(ui, &seen, (&sheet, extent), &mut self.board, commands);
            overlay::overlay_ui(ui, &seen, room, self.board.view.corner(), commands);
            (room, pointed)
        });
        overlay::hovering_ui(ui, &seen, board.inner.0);
        dialogs::dialogs_ui(ui, &seen, &mut self.dialogs, commands);
        if self.desk.dialog.is_some() {
            return;
        }
        let (room, pointed) = board.inner;
        // A tip is larger than the drawing may be in a low window.
        let over = if self.desk.space.is_low { ui.ctx().content_rect() } else { room };
        if let Some(PointedAct { acts, mind, tip_at: Some(at) }) = &pointed_act {
            let places = prove::places(self.session.bench(), acts);
            let side = self.board.free_side(room, &sheet, &places, TIP_ROOM);
            let hidden = self.session.eyes().is_some();
            let foreseen = self.session.foresee(acts);
            proving_tip_ui(ui, over, (&palette, hidden), (egui::pos2(side, *at), acts, mind), foreseen);
        } else if let Some(pointed) = pointed {
            let name = sheet.place(pointed.subject).map_or("", |place| place.label.as_str());
            self.tip_ui(ui, over, name, &pointed, palette);
        }
    }

    /// Conditions and drawer beside the drawing, or folded to strips; a proving act that is pointed at.
    fn beside_ui(&mut self, ui: &mut Ui, palette: Palette) -> Option<PointedAct> {
        let seen = Seen::of(shown!(self), palette);
        let commands = &mut self.commands;
        let frame = |x: i8, y: i8| Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y));
        let Space { is_narrow, is_low } = seen.desk.space;
        let half = ui.available_width() / 2.0;
        if is_narrow {
            strip::strips_ui(ui, &seen, commands);
        }
        if !is_narrow || seen.desk.unfolded.beside == Some(Beside::Conditions) {
            let width = if is_narrow { SIDE.min(half) } else { SIDE };
            Panel::right("side").resizable(false).exact_size(width).frame(frame(8, 6)).show(ui, |ui| {
                foot::scrolled(ui, ("side", is_low), &mut |ui| {
                    // Whatever the circuit feels, hazards keep room for the gravest in full.
                    let conditions_height =
                        (ui.available_height() - found::least_height(&seen)).max(ui.available_height() * 0.45);
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
            let others = if instruments::out(&seen).is_empty() { 0.0 } else { instruments::HEIGHT };
            let height = clock::height(ui.available_height(), others);
            let clock = Panel::bottom("clock").resizable(false).exact_size(height).frame(frame(8, 4));
            clock.show(ui, |ui| clock::clock_ui(ui, &seen, commands));
        }
        let drawer = seen.desk.open_drawer()?;
        let width = if is_narrow { DRAWER.min(half) } else { DRAWER };
        let panel = Panel::left("drawer").resizable(false).exact_size(width).frame(frame(8, 6));
        let drawers = &mut self.drawers;
        let mut pointed = None;
        panel.show(ui, |ui| {
            foot::scrolled(ui, ("drawer", is_low), &mut |ui| match drawer {
                Drawer::Prove => pointed = prove::prove_ui(ui, &seen, commands),
                Drawer::Logic => logic::logic_ui(ui, &seen),
                Drawer::Faults => fault_table::fault_table_ui(ui, &seen, &mut drawers.faults, commands),
                Drawer::Find => find::find_ui(ui, &seen, &mut drawers.find, commands),
                Drawer::Hunt => hunt::hunt_ui(ui, &seen, &mut drawers.hunt, commands),
                Drawer::Build => build::build_ui(ui, &seen, &mut drawers.build, commands),
            });
        });
        pointed
    }

    fn tip_ui(&mut self, ui: &Ui, room: egui::Rect, name: &str, pointed: &Pointed, palette: Palette) {
        let (mut foreseen, mut reading) = (None, None);
        match &pointed.what {
            Use::Act(act) => foreseen = Some(self.session.foresee(std::slice::from_ref(act)).clone()),
            // In a hunt nothing is read before it counts.
            Use::Handle { shows: Some(shows), .. } if self.session.eyes().is_none() => {
                reading = Some(self.session.read_ahead(&self.desk.instruments, shows));
            }
            Use::Handle { .. } | Use::Change(_) | Use::FirstClip(_) | Use::Build(_) | Use::Look | Use::Nothing(_) => {}
        }
        let ahead = match (&foreseen, &reading) {
            (Some(foreseen), _) => Ahead::Act(foreseen),
            (None, Some(reading)) => Ahead::Reading(reading),
            (None, None) => Ahead::Nothing,
        };
        let seen = Seen::of(shown!(self), palette);
        tip_ui(ui, room, &seen, (pointed.at, name), &pointed.what, ahead);
    }

    /// Files dropped on the window, and the window asked to close.
    fn read_window(&mut self, ctx: &egui::Context) {
        let (dropped, closing) = ctx.input(|i| {
            let dropped: Vec<PathBuf> = i.raw.dropped_files.iter().map(|file| file.path().to_path_buf()).collect();
            (dropped, i.viewport().close_requested())
        });
        if let Some(path) = dropped.first() {
            self.commands.push(Command::Open(Source::File(path.clone())));
            if dropped.len() > 1 {
                let words =
                    "Several files were let go here; the first of them was taken, for one circuit is on the bench.";
                self.commands.push(Command::Say(words.to_owned()));
            }
        }
        let is_changed = !self.session.bench().changes().is_empty() || self.filing.is_changed();
        if closing && !self.may_close && is_changed {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.commands.push(Command::Ask(Some(Dialog::Leaving(Leaving::Close))));
        }
    }

    /// Pulls the drawer out where there is room, and begins what it shows once the first frame is on screen.
    fn work(&mut self, ctx: &egui::Context) {
        if self.frames == 1 && !self.is_set_out && ctx.content_rect().width() >= ROOMY {
            self.desk.drawer = Some(Drawer::Prove);
        }
        self.studies.follow(self.session.bench());
        filing::work_on_hunt(self, ctx);
        if let Some(hunt) = self.studies.hunting.take() {
            steps::begin_hunt(self, hunt);
        }
        if self.desk.dialog == Some(Dialog::Card) {
            self.studies.work_on_card(ctx, (self.look.paper, self.look.symbols));
        } else if let Some(drawer) = self.desk.drawer {
            if self.frames == 1 {
                ctx.request_repaint();
            } else {
                self.studies.work(ctx, drawer);
            }
        }
    }

    /// Lets time pass while the clock plays.
    fn pass_time(&mut self, ctx: &egui::Context) {
        if !self.session.clock().is_some_and(|clock| clock.playing) {
            return;
        }
        // A frame that was long in coming lets no more than a tenth of a second pass.
        let seconds = ctx.input(|i| f64::from(i.stable_dt)).min(0.1);
        self.with_clock(|clock| clock.pass(seconds));
        ctx.request_repaint();
    }

    /// Does something with the clock; where time cannot go on, the tray says why.
    pub(super) fn with_clock(&mut self, act: impl FnOnce(&mut Clock)) {
        if let Some(refusal) = self.session.with_clock(act) {
            self.desk.said = format!("The clock has stopped: {refusal}");
        }
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

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.count_frames(ui.ctx());
        self.dress.size(ui.ctx());
        self.desk.space = Space::of(ui.ctx().content_rect().size());
        self.read_window(ui.ctx());
        shortcuts::read(ui.ctx(), &self.desk, self.session.clock(), &mut self.commands);
        self.work(ui.ctx());
        self.pass_time(ui.ctx());
        self.panels_ui(ui);
        let asked = self.commands.take();
        if !asked.is_empty() {
            for command in asked {
                apply::apply(self, ui.ctx(), command);
            }
            // What was just done is shown at once, not when the pointer next moves.
            ui.ctx().request_repaint();
        }
        filing::look_after(self, ui.ctx());
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        filing::close(self);
    }
}
