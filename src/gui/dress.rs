//! How the window is dressed: which sheet it is drawn on, how large its letters are, and how large what is pressed.
//!
//! Yields [`Sheet`] and [`Dress`], which puts all of it on the window. The projector sheet draws everything so much larger
//! that what a class reads has letters of 24 points; what then finds no room side by side is folded by
//! [`space`](super::space). Colours are the [`theme`]'s.

use egui::{Context, ThemePreference, Vec2, vec2};
use serde::{Deserialize, Serialize};

use super::theme::{self, Palette};
use super::tongue::t;
use super::words::capital;

/// Smallest and largest text scale.
const TEXT_SCALES: std::ops::RangeInclusive<f32> = 0.7..=2.0;
/// One press of a button that sizes the text.
pub const STEP: f32 = 0.1;
/// How much larger everything is on the projector sheet: running text of 13.5 points becomes 24.3.
pub const PROJECTED: f32 = 1.8;
/// Smallest window, in points as they are drawn, that larger letters on the projector sheet leave.
const LEAST: Vec2 = vec2(512.0, 350.0);

/// Least side of what a finger presses, in points of the desktop (WCAG 2.1, success criterion 2.5.5: 44 CSS pixels).
pub const FINGER: f32 = 44.0;
/// Usual height of what is pressed with a mouse, in points as they are drawn.
pub const MOUSE: f32 = 26.0;
/// Usual room between a button's edges and its word.
const PADDING: f32 = 8.0;

/// What the window is drawn on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sheet {
    /// Light or dark as the desktop.
    #[default]
    Desktop,
    /// Light.
    Light,
    /// Dark.
    Dark,
    /// Black on white, large, with heavy lines, for the back row of a class.
    Projector,
}

impl Sheet {
    /// Every sheet, in the order in which they are chosen.
    pub const ALL: [Self; 4] = [Self::Desktop, Self::Light, Self::Dark, Self::Projector];

    /// The one chosen after this.
    pub fn next(self) -> Self {
        let place = Self::ALL.iter().position(|sheet| *sheet == self).unwrap_or_default();
        Self::ALL[(place + 1) % Self::ALL.len()]
    }

    /// Its name as it stands on a button.
    pub fn short(self) -> String {
        match self {
            Self::Desktop => t!("dress-desktop").to_owned(),
            Self::Light | Self::Dark | Self::Projector => capital(self.word()),
        }
    }

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::Desktop => t!("dress-as-desktop"),
            Self::Light => t!("dress-light"),
            Self::Dark => t!("dress-dark"),
            Self::Projector => t!("dress-projector"),
        }
    }
}

/// The sheet and the size of letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dress {
    /// What the window is drawn on.
    pub sheet: Sheet,
    /// How large all text is; 1 is usual.
    text_scale: f32,
    /// Whether what is pressed is large enough for fingers, once somebody has chosen; until then the first touch decides.
    fingers: Option<bool>,
    /// A finger has touched the window.
    touched: bool,
}

impl Default for Dress {
    fn default() -> Self {
        Self { sheet: Sheet::default(), text_scale: 1.0, fingers: None, touched: false }
    }
}

impl Dress {
    /// A sheet and a text scale, as far as that makes sense.
    pub fn new(sheet: Sheet, text_scale: f32) -> Self {
        let text_scale = if text_scale.is_finite() { text_scale } else { 1.0 };
        let text_scale = text_scale.clamp(*TEXT_SCALES.start(), *TEXT_SCALES.end());
        Self { sheet, text_scale, ..Self::default() }
    }

    /// The same on this sheet and with letters of this size, as far as that makes sense.
    pub fn with(self, sheet: Sheet, text_scale: f32) -> Self {
        let Self { fingers, touched, .. } = self;
        Self { fingers, touched, ..Self::new(sheet, text_scale) }
    }

    /// How large all text is; 1 is usual.
    pub fn text_scale(&self) -> f32 {
        self.text_scale
    }

    /// With all text larger or smaller by so much, in whole steps.
    pub fn sized(self, by: f32) -> Self {
        let steps = ((self.text_scale + by) / STEP).round();
        self.with(self.sheet, steps * STEP)
    }

    /// Whether what is pressed is large enough for fingers, once somebody has chosen.
    pub fn fingers(&self) -> Option<bool> {
        self.fingers
    }

    /// With what is pressed large enough for fingers, or not, or so from the first touch.
    pub fn for_fingers(self, fingers: Option<bool>) -> Self {
        Self { fingers, ..self }
    }

    /// A finger has touched the window.
    pub fn touch(&mut self) {
        self.touched = true;
    }

    /// The same by as many steps as it takes to be seen in a window of `window` points of the desktop; none where letters
    /// have their least or their most there.
    pub fn sized_in(self, window: Vec2, by: f32) -> Option<Self> {
        let steps = std::iter::successors(Some(self.sized(by)), |sized| Some(sized.sized(by)));
        let all = ((TEXT_SCALES.end() - TEXT_SCALES.start()) / STEP).ceil() as usize;
        steps.take(all).find(|sized| (sized.zoom(window) - self.zoom(window)) * by.signum() > 1e-3)
    }

    /// Whether what is pressed is as large as a finger wants it.
    pub fn is_for_fingers(&self) -> bool {
        self.sheet == Sheet::Projector || self.fingers.unwrap_or(self.touched)
    }

    /// Least side of what is pressed where everything is drawn so much larger than usual, in points as they are drawn.
    fn target(&self, zoom: f32) -> f32 {
        if self.is_for_fingers() { (FINGER / zoom).max(MOUSE) } else { MOUSE }
    }

    /// How much larger than usual everything is drawn in a window of `window` points of the desktop.
    pub fn zoom(&self, window: Vec2) -> f32 {
        match self.sheet {
            Sheet::Desktop | Sheet::Light | Sheet::Dark => self.text_scale,
            Sheet::Projector => {
                let most = (window / LEAST).min_elem().max(PROJECTED);
                (self.text_scale * PROJECTED).clamp(PROJECTED, most)
            }
        }
    }

    /// The colours to draw with.
    pub fn palette(&self, ctx: &Context) -> Palette {
        Palette::of(ctx.theme(), self.sheet == Sheet::Projector)
    }

    /// Puts the sheet on the window.
    pub fn put_on(&self, ctx: &Context) {
        ctx.set_theme(match self.sheet {
            Sheet::Desktop => ThemePreference::System,
            Sheet::Light | Sheet::Projector => ThemePreference::Light,
            Sheet::Dark => ThemePreference::Dark,
        });
        theme::dress_light(ctx, self.sheet == Sheet::Projector);
        self.size(ctx);
    }

    /// Sizes everything; a window that has become larger or smaller is sized anew.
    pub fn size(&self, ctx: &Context) {
        let now = ctx.zoom_factor();
        let zoom = self.zoom(window(ctx));
        if (zoom - now).abs() > 1e-3 {
            ctx.set_zoom_factor(zoom);
        }
        let target = self.target(zoom);
        let style = ctx.global_style();
        if (style.spacing.interact_size.y - target).abs() < 1e-3
            && style.interaction.selectable_labels != self.is_for_fingers()
        {
            return;
        }
        ctx.all_styles_mut(|style| {
            style.spacing.interact_size = vec2(target.max(40.0), target);
            // Short words are wide enough of themselves down to usual letters.
            style.spacing.button_padding.x = PADDING + ((target - FINGER) / 2.0).max(0.0);
            // A finger that presses beside a button means the button, not the words there.
            style.interaction.selectable_labels = !self.is_for_fingers();
        });
    }
}

/// The window's size in points of the desktop.
pub fn window(ctx: &Context) -> Vec2 {
    ctx.content_rect().size() * ctx.zoom_factor()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_grow_to_twice_their_size_and_come_back() {
        let mut dress = Dress::default();
        for _ in 0..30 {
            dress = dress.sized(STEP);
        }
        assert_eq!(dress.text_scale(), 2.0);
        for _ in 0..10 {
            dress = dress.sized(-STEP);
        }
        assert!((dress.text_scale() - 1.0).abs() < 1e-6, "{dress:?}");
        assert_eq!(Dress::new(Sheet::Light, f32::NAN).text_scale(), 1.0);
    }

    #[test]
    fn running_text_is_24_points_on_the_projector_sheet_of_any_window() {
        for window in [vec2(1024.0, 700.0), vec2(1280.0, 800.0), vec2(1920.0, 1080.0), vec2(3840.0, 2160.0)] {
            for scale in [0.7, 1.0, 1.3, 2.0] {
                let zoom = Dress::new(Sheet::Projector, scale).zoom(window);
                assert!(zoom * theme::BODY >= 24.0, "{window:?} at {scale}: {zoom}");
                let left = window / zoom;
                assert!(left.x >= LEAST.x - 0.1 && left.y >= LEAST.y - 0.1, "{window:?} at {scale}: {left:?}");
            }
        }
    }

    #[test]
    fn letters_that_cannot_be_smaller_or_larger_stay_as_they_are() {
        let window = vec2(1280.0, 800.0);
        let projected = Dress::new(Sheet::Projector, 1.0);
        assert_eq!(projected.sized_in(window, -STEP), None, "24 points are the least there");
        assert!(projected.sized_in(window, STEP).is_some());
        assert_eq!(Dress::new(Sheet::Projector, 2.0).sized_in(vec2(1024.0, 700.0), STEP), None);
        let back = Dress::new(Sheet::Projector, 2.0).sized_in(vec2(1024.0, 700.0), -STEP);
        assert!(back.is_some_and(|back| back.text_scale() < 1.15), "as many steps as it takes: {back:?}");
        assert_eq!(Dress::new(Sheet::Light, 2.0).sized_in(window, STEP), None);
        assert!(Dress::new(Sheet::Light, 1.0).sized_in(window, -STEP).is_some());
    }

    #[test]
    fn what_is_pressed_is_44_points_of_the_desktop_for_fingers_however_large_letters_are() {
        let touched = |scale| Dress { touched: true, ..Dress::new(Sheet::Light, scale) };
        for scale in [0.7, 1.0, 1.3, 2.0] {
            let zoom = touched(scale).zoom(vec2(1280.0, 800.0));
            assert!(touched(scale).target(zoom) * zoom >= FINGER - 1e-3, "{scale}");
            assert_eq!(Dress::new(Sheet::Light, scale).target(zoom), MOUSE);
        }
        assert!(Dress::new(Sheet::Projector, 1.0).target(PROJECTED) * PROJECTED >= FINGER);
        assert!(!touched(1.0).for_fingers(Some(false)).is_for_fingers());
    }

    #[test]
    fn every_sheet_is_come_to_in_turn() {
        let mut sheet = Sheet::default();
        for expected in Sheet::ALL {
            assert_eq!(sheet, expected);
            sheet = sheet.next();
        }
        assert_eq!(sheet, Sheet::default());
    }
}
