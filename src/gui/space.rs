//! How much room the window has, and what is folded where there is little.
//!
//! Yields [`Space`], by which panels choose between standing side by side and being folded to a strip. Measured in points
//! as they are drawn: large letters and a small window come to the same. For a class, and for two drawings, more room counts as
//! little. The chain and the drawing never fold.

use std::fmt::Debug;
use std::hash::Hash;

use egui::{ScrollArea, TextStyle, Ui, Vec2, vec2};
use serde::{Deserialize, Serialize};

/// Width from which conditions, drawing and a drawer stand side by side: for one, for a class, which wants the drawing
/// large, and where two drawings share the room.
const WIDE: f32 = 900.0;
const WIDE_FOR_A_CLASS: f32 = 1300.0;
const WIDE_FOR_TWO: f32 = 1200.0;
/// Height from which every line below the drawing stands in full, and that for a class.
const HIGH: f32 = 560.0;
const HIGH_FOR_A_CLASS: f32 = 700.0;
/// Width from which a low window has room for the instruments beside its drawing.
const FLAT: f32 = 640.0;
/// Lines above and below the drawing that grow with what is pressed.
pub const ROWS: f32 = 5.0;

/// What the window is to show, by which its room is much or little.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    /// It is read by a class.
    pub for_a_class: bool,
    /// Two circuits are to be seen at once.
    pub two: bool,
}

/// What room there is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Space {
    /// One panel at most stands beside the drawing, the others are strips.
    pub is_narrow: bool,
    /// What lies below the drawing is scrolled and its cautions are folded to a line.
    pub is_low: bool,
    /// It is low, and wide enough for more than the drawing beside each other.
    pub is_flat: bool,
}

impl Space {
    /// The room in a window of this size, where a line of what is pressed is so much higher than a mouse needs it.
    pub fn of(window: Vec2, grown: f32, wanted: Wanted) -> Self {
        let high = if wanted.for_a_class { HIGH_FOR_A_CLASS } else { HIGH };
        let wide = match wanted {
            Wanted { for_a_class: true, .. } => WIDE_FOR_A_CLASS,
            Wanted { two: true, .. } => WIDE_FOR_TWO,
            Wanted { .. } => WIDE,
        };
        let is_low = window.y < high + ROWS * grown;
        Self { is_narrow: window.x < wide, is_low, is_flat: is_low && window.x >= FLAT }
    }

    /// Shows the greater part of a panel beside the drawing: scrolled by itself, or, in a low window, together with the
    /// rest of its panel, so that one turn of the wheel reaches everything.
    pub fn list<R>(
        self,
        ui: &mut Ui,
        (name, auto_shrink): (impl Debug + Hash, [bool; 2]),
        show: impl FnOnce(&mut Ui) -> R,
    ) -> R {
        if self.is_low {
            return ui.push_id(name, show).inner;
        }
        ScrollArea::vertical().id_salt(name).auto_shrink(auto_shrink).show(ui, show).inner
    }
}

/// Smallest window in which two drawings can still be told from each other.
const LEAST_FOR_TWO: Vec2 = vec2(540.0, 376.0);

/// How much of a second circuit is seen beside the one in front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pair {
    /// Nothing but its name and what its fan does, in the row of names, if it is open at all.
    #[default]
    Folded,
    /// Its chain and its drawing, beside the other or below it, whichever leaves the drawings larger.
    Both,
}

impl Pair {
    /// What is seen of a second circuit in a window of this size, where a line of what is pressed is so much higher than a
    /// mouse needs it.
    pub fn of(window: Vec2, grown: f32) -> Self {
        let least = LEAST_FOR_TWO + vec2(0.0, ROWS * grown);
        if window.x >= least.x && window.y >= least.y { Self::Both } else { Self::Folded }
    }

    /// Whether two circuits are seen.
    pub fn has_two(self) -> bool {
        self == Self::Both
    }
}

/// Width that a word takes as a button, with the space before it.
pub fn room_of(ui: &Ui, words: &str) -> f32 {
    let font = TextStyle::Button.resolve(ui.style());
    let galley = ui.painter().layout_no_wrap(words.to_owned(), font, ui.visuals().text_color());
    let button = (galley.size().x + 2.0 * ui.spacing().button_padding.x).max(super::widget::target(ui.ctx()));
    button + ui.spacing().item_spacing.x
}

/// Where instruments stand that are out and, in a low window, the ledger.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stand {
    /// In a band under the drawing, or one each.
    #[default]
    Below,
    /// Beside the drawing.
    Beside,
    /// Beside it, above the gauges and the buttons that move the sheet.
    OverGauges {
        /// No wider than those, where more would be taken from the drawing.
        slim: bool,
    },
}

/// What has been unfolded where there is little room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unfolded {
    /// What stands beside the drawing in a narrow window.
    pub beside: Option<Beside>,
    /// The cautions are there in full.
    pub cautions: bool,
    /// The second line at the top is there: how the circuit is shown.
    pub look: bool,
}

/// What can be folded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fold {
    /// A panel beside the drawing.
    Beside(Beside),
    /// The cautions.
    Cautions,
    /// How the circuit is shown.
    Look,
}

impl Unfolded {
    /// Whether conditions and what is dangerous stand beside the drawing, in either order.
    pub fn has_conditions(&self) -> bool {
        matches!(self.beside, Some(Beside::Conditions | Beside::Hazards))
    }

    /// Folds something, or unfolds it.
    pub fn set(&mut self, what: Fold, out: bool) {
        match what {
            Fold::Beside(beside) if out => self.beside = Some(beside),
            Fold::Beside(beside) => self.beside = self.beside.filter(|now| *now != beside),
            // There is no room for both.
            Fold::Cautions => (self.cautions, self.look) = (out, self.look && !out),
            Fold::Look => (self.look, self.cautions) = (out, self.cautions && !out),
        }
    }
}

/// What can stand beside the drawing in a narrow window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Beside {
    /// Conditions, and below them what is dangerous.
    Conditions,
    /// The same, in a low window what is dangerous first.
    Hazards,
    /// The drawer that is pulled out.
    Drawer,
}
