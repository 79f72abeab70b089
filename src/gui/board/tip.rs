//! The forecast beside the pointer: what is pointed at, and what the tool in hand would come to there, with its
//! dangers, before anything is done.
//!
//! Shows what the session has foreseen; works nothing out.

use egui::{Area, Frame, Margin, Order, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};

use crate::bench::{Act, Action, Refusal};
use crate::circuit::{Circuit, Contact};
use crate::study::answer::Level;
use crate::study::meter::Shown;

use super::super::build;
use super::super::instrument::{Device, Handling};
use super::super::panel::instruments;
use super::super::readout::said;
use super::super::seen::Seen;
use super::super::session::Foreseen;
use super::super::theme::{self, Palette};
use super::super::tongue::{t, worded};
use super::super::tool::Use;
use super::super::widget::signal;
use super::super::{ids, words};
use crate::words::Words;

/// Width of the tip.
const WIDTH: f32 = 300.0;
/// Room a tip takes with its frame and margins.
pub const TIP_ROOM: f32 = WIDTH + 32.0;
/// Size of an instrument's face in it.
const FACE: Vec2 = vec2(168.0, 60.0);
/// Most hazards written out; more are counted. Where two circuits are told of, here and there.
const MOST: usize = 3;
const MOST_OF_TWO: (usize, usize) = (2, 1);

/// What acts would come to on the other of two circuits.
#[derive(Clone, Debug)]
pub struct Beforehand {
    /// What that one is called.
    pub name: String,
    /// A fault is hidden there.
    pub hidden: bool,
    /// What they would come to.
    pub foreseen: Result<Foreseen, Refusal>,
}

/// What has been worked out ahead for the tip.
#[derive(Clone, Copy, Debug)]
pub enum Ahead<'a> {
    /// Nothing.
    Nothing,
    /// What an act would come to, also on the other circuit where it is done on both.
    Act(&'a Result<Foreseen, Refusal>, Option<&'a Beforehand>),
    /// What an instrument would show.
    Reading(&'a Result<Shown, Refusal>),
}

/// Shows the tip for something pointed at, `name` being what it is.
pub fn tip_ui(ui: &Ui, board: Rect, seen: &Seen<'_>, (at, name): (Pos2, &str), what: &Use, ahead: Ahead<'_>) {
    let palette = &seen.palette;
    // Beside the pointer, on the side with more room, so that it never hides what is pointed at.
    let left_side = at.x + WIDTH + 40.0 > board.right();
    let x = if left_side { at.x - WIDTH - 36.0 } else { at.x + 22.0 };
    beside(ui, board, egui::pos2(x.max(board.left()), at.y + 14.0), palette, |ui| {
        ui.label(RichText::new(name).color(palette.text));
        match what {
            Use::Act(act) => {
                let (foreseen, beside) = match ahead {
                    Ahead::Act(foreseen, beside) => (Some(foreseen), beside),
                    Ahead::Reading(_) | Ahead::Nothing => (None, None),
                };
                let doing = act_words(seen.bench.circuit(), act);
                forecast_ui(ui, &doing, foreseen, palette, (seen.eyes.is_some(), beside.is_some()));
                beside_ui(ui, beside, palette);
            }
            Use::Handle { device, handling, .. } => {
                let reading = match ahead {
                    Ahead::Reading(reading) => Some(reading),
                    Ahead::Act(..) | Ahead::Nothing => None,
                };
                reading_ui(ui, seen, (*device, handling), reading);
            }
            Use::Change(action) => {
                ui.label(RichText::new(change_words(seen.bench.circuit(), action)).color(palette.quiet));
            }
            Use::FirstClip(point) => {
                ui.label(RichText::new(t!("tip-click-first-clip-on", point)).color(palette.quiet));
            }
            Use::Nothing(why) => {
                ui.label(RichText::new(why.as_str()).color(palette.quiet));
            }
            Use::Build(step) => {
                ui.label(RichText::new(build::told(seen.desk, step)).color(palette.quiet));
            }
            Use::Look => {}
        }
    });
}

/// Shows the tip for a proving act pointed at in its list, beside the list.
pub fn proving_tip_ui(
    ui: &Ui,
    board: Rect,
    (circuit, palette, hidden): (&Circuit, &Palette, bool),
    (at, acts, mind): (Pos2, &[Act], &[Words]),
    foreseen: &Result<Foreseen, Refusal>,
    on_the_other: Option<&Beforehand>,
) {
    beside(ui, board, at, palette, |ui| {
        let doing = acts.iter().map(|act| act_words(circuit, act)).collect::<Vec<_>>().join(t!("tip-then"));
        forecast_ui(ui, &doing, Some(foreseen), palette, (hidden, on_the_other.is_some()));
        let because = foreseen.as_ref().map(|f| f.because.as_slice()).unwrap_or_default();
        for sentence in because.iter().chain(mind) {
            ui.label(RichText::new(worded(sentence)).color(palette.text));
        }
        beside_ui(ui, on_the_other, palette);
    });
}

/// What the same acts would come to on the other circuit.
fn beside_ui(ui: &mut Ui, beside: Option<&Beforehand>, palette: &Palette) {
    let Some(Beforehand { name, hidden, foreseen }) = beside else { return };
    ui.separator();
    ui.label(RichText::new(t!("tip-the-same-on", name)).font(theme::bold(13.5)).color(palette.text));
    outcome_ui(ui, foreseen, palette, *hidden, MOST_OF_TWO.1);
}

fn beside(ui: &Ui, board: Rect, at: Pos2, palette: &Palette, show: impl FnOnce(&mut Ui)) {
    let area = Area::new(ids::forecast()).order(Order::Tooltip).interactable(false);
    area.fixed_pos(at).constrain_to(board).show(ui.ctx(), |ui| {
        let frame = Frame::new().fill(palette.ground).stroke(Stroke::new(1.5, palette.line));
        frame.inner_margin(Margin::same(8)).show(ui, |ui| {
            ui.set_width(WIDTH);
            // A screen reader reads the forecast out as it changes.
            ui.ctx().accesskit_node_builder(ui.unique_id(), |node| node.set_live(egui::accesskit::Live::Polite));
            ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
            show(ui);
        });
    });
}

/// What an instrument would show before its lead is left there.
fn reading_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    (device, handling): (Device, &Handling),
    reading: Option<&Result<Shown, Refusal>>,
) {
    let palette = &seen.palette;
    let doing = seen.desk.instruments.as_on(seen.bench).told(device, handling);
    let Some(reading) = reading else {
        ui.label(RichText::new(t!("tip-click", doing)).color(palette.quiet));
        return;
    };
    ui.label(RichText::new(t!("tip-if-you-click", doing)).color(palette.text));
    match reading {
        Err(why) => {
            ui.label(
                RichText::new(t!("tip-cannot-be-read", message = why.message, mend = why.mend)).color(palette.text),
            );
        }
        Ok(shown) => {
            let (_, rect) = ui.allocate_space(FACE);
            instruments::show_face(ui, seen, device, Some(shown.value), rect);
            let words = t!("tip-would-show", device = device.name(), value = said(device, shown.value));
            let response = ui.interact(rect, ids::forecast().with("face"), Sense::HOVER);
            response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
            if shown.disturbs.is_some() {
                instruments::disturbs_ui(ui, seen, device, shown);
            } else {
                instruments::notes_ui(ui, seen, shown);
            }
        }
    }
}

fn change_words(circuit: &Circuit, action: &Action) -> String {
    match action {
        Action::PutBack(act) => t!("tip-click-put-back", act = words::act(act)),
        other => t!("tip-click-2", other = words::action(circuit, other)),
    }
}

/// What acts would come to; where a fault is hidden, to a truck without it.
fn forecast_ui(
    ui: &mut Ui,
    doing: &str,
    foreseen: Option<&Result<Foreseen, Refusal>>,
    palette: &Palette,
    (hidden, is_of_two): (bool, bool),
) {
    ui.label(RichText::new(t!("tip-if-you-click", doing)).color(palette.text));
    if let Some(foreseen) = foreseen {
        outcome_ui(ui, foreseen, palette, hidden, if is_of_two { MOST_OF_TWO.0 } else { MOST });
    }
}

fn outcome_ui(ui: &mut Ui, foreseen: &Result<Foreseen, Refusal>, palette: &Palette, hidden: bool, most: usize) {
    let foreseen = match foreseen {
        Err(refusal) => {
            ui.label(
                RichText::new(t!("tip-cannot-be-done", message = refusal.message, mend = refusal.mend))
                    .color(palette.text),
            );
            return;
        }
        Ok(foreseen) => foreseen,
    };
    let Foreseen { before, after, hazards, opens, because: _ } = foreseen;
    let (before, after) = (words::fan(*before), words::fan(*after));
    if hidden {
        ui.label(RichText::new(t!("tip-on-a-truck-without-any")).color(palette.quiet));
    }
    let fan = if before == after { t!("tip-fan-stays", after) } else { t!("tip-fan", before, after) };
    ui.label(RichText::new(fan).font(theme::bold(16.0)).color(palette.text));
    if !opens.is_empty() {
        ui.label(
            RichText::new(t!("tip-would-blow", opens = opens.join(", "))).font(theme::bold(13.5)).color(palette.text),
        );
    }
    for hazard in hazards.iter().take(most) {
        signal::signal_ui(ui, hazard, palette);
    }
    if hazards.len() > most {
        ui.label(RichText::new(t!("tip-and-more", hazards = hazards.len() - most)).color(palette.text));
    }
    if hazards.is_empty() {
        ui.label(RichText::new(t!("tip-no-danger-foreseen-in-the")).color(palette.quiet));
    } else if hazards.iter().any(|h| h.level == Level::Danger) {
        ui.label(RichText::new(t!("tip-do-not-do-this-on")).font(theme::bold(13.5)).color(palette.text));
    }
}

/// An act as something still to be done.
fn act_words(circuit: &Circuit, act: &Act) -> String {
    match act {
        Act::Turn { switch, to } => match to.as_str() {
            "on" if act.leaves_contact(circuit) == Some(Contact::Open) => t!("tip-turn-on-opens", switch),
            "on" => t!("tip-turn-on", switch),
            "off" => t!("tip-turn-off", switch),
            _ => t!("tip-turn", switch, to),
        },
        Act::Press { switch } => t!("tip-press-and-let-go", switch),
        Act::Jump { a, b, fuse } => t!("tip-lead-from-to", a, b, fuse = words::lead_fuse(*fuse)),
        Act::Lift(end) => t!("tip-take-off", wire = end.wire, terminal = end.terminal),
        Act::Unplug { part } => t!("tip-unplug", part),
    }
}
