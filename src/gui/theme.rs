//! Every colour and type size of the window, for a light and a dark sheet and for the projector.
//!
//! Yields [`Palette`]: hues of Okabe and Ito (Color Universal Design, 2008), darkened for thin lines and text on the
//! light sheet where they would be too faint. Text keeps a contrast of at least 4.5 to 1 and lines of 3 to 1 (WCAG 2.1,
//! success criteria 1.4.3 and 1.4.11), which the tests below compute. On the projector's sheet nothing is told by hue but the signal words' panels: black on white,
//! with greys for what only fills. No other file of the window names a colour.

use std::sync::Arc;

use egui::epaint::text::{FontInsert, FontPriority, InsertFontFamily};
use egui::{Color32, CornerRadius, FontData, FontFamily, FontId, Stroke, TextStyle, Visuals};

use crate::drawing::Ink;
use crate::study::answer::Level;

/// Colours of one theme.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Palette {
    /// Around the sheet and behind the panels.
    pub ground: Color32,
    /// The sheet the circuit is drawn on.
    pub sheet: Color32,
    /// Faint ruling of the sheet.
    pub ruling: Color32,
    /// Frames and scales.
    pub line: Color32,
    /// Words.
    pub text: Color32,
    /// Words that may stand back.
    pub quiet: Color32,
    /// What is chosen or in hand.
    pub chosen: Color32,
    /// Words on [`Self::chosen`].
    pub on_chosen: Color32,
    /// Ring around what has the keyboard.
    pub focus: Color32,
    /// Links that drive the fan.
    pub drives: Color32,
    /// Words on [`Self::drives`].
    pub on_drives: Color32,
    /// A place where the chain parts.
    pub parted: Color32,
    /// Fields that take typed values.
    pub field: Color32,
    /// Buttons and links at rest.
    pub raised: Color32,
    /// Band between reset and set point.
    pub band: Color32,
    /// How much heavier lines are drawn.
    pub heavy: f32,
    /// Smallest letters of what a class reads, in points as they are drawn.
    pub least: f32,
    hues: Hues,
}

/// Which colours the drawing's roles have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hues {
    Light,
    Dark,
    Projector,
}

/// Size of running text.
pub const BODY: f32 = 13.5;

const BLUE: Color32 = Color32::from_rgb(0, 114, 178);
const SKY: Color32 = Color32::from_rgb(86, 180, 233);
const ORANGE: Color32 = Color32::from_rgb(230, 159, 0);
const YELLOW: Color32 = Color32::from_rgb(240, 228, 66);
const VERMILLION_DEEP: Color32 = Color32::from_rgb(176, 68, 0);
const VERMILLION_LIGHT: Color32 = Color32::from_rgb(255, 146, 72);
const GREEN_DEEP: Color32 = Color32::from_rgb(0, 104, 76);
const GREEN_LIGHT: Color32 = Color32::from_rgb(72, 206, 162);
const PURPLE_DEEP: Color32 = Color32::from_rgb(148, 52, 110);
const PURPLE_LIGHT: Color32 = Color32::from_rgb(224, 150, 190);
const SIGNAL_RED: Color32 = Color32::from_rgb(178, 16, 32);
const RED_LIGHT: Color32 = Color32::from_rgb(255, 120, 120);
const NIGHT: Color32 = Color32::from_rgb(16, 16, 16);

const LIGHT: Palette = Palette {
    ground: Color32::from_rgb(238, 233, 220),
    sheet: Color32::from_rgb(252, 250, 243),
    ruling: Color32::from_rgb(235, 230, 215),
    line: Color32::from_rgb(92, 86, 74),
    text: Color32::from_rgb(28, 28, 28),
    quiet: Color32::from_rgb(84, 78, 66),
    chosen: Color32::from_rgb(0, 88, 138),
    on_chosen: Color32::WHITE,
    focus: BLUE,
    drives: Color32::from_rgb(38, 50, 58),
    on_drives: Color32::from_rgb(252, 250, 243),
    parted: VERMILLION_DEEP,
    field: Color32::from_rgb(255, 254, 250),
    raised: Color32::from_rgb(226, 219, 202),
    band: Color32::from_rgb(196, 186, 160),
    heavy: 1.0,
    least: 0.0,
    hues: Hues::Light,
};

const DARK: Palette = Palette {
    ground: Color32::from_rgb(17, 24, 31),
    sheet: Color32::from_rgb(24, 34, 43),
    ruling: Color32::from_rgb(32, 44, 54),
    line: Color32::from_rgb(146, 160, 170),
    text: Color32::from_rgb(236, 240, 242),
    quiet: Color32::from_rgb(172, 184, 192),
    chosen: SKY,
    on_chosen: NIGHT,
    focus: SKY,
    drives: Color32::from_rgb(222, 230, 235),
    on_drives: NIGHT,
    parted: VERMILLION_LIGHT,
    field: Color32::from_rgb(12, 18, 24),
    raised: Color32::from_rgb(44, 58, 70),
    band: Color32::from_rgb(84, 98, 110),
    heavy: 1.0,
    least: 0.0,
    hues: Hues::Dark,
};

const PROJECTOR: Palette = Palette {
    ground: Color32::WHITE,
    sheet: Color32::WHITE,
    ruling: Color32::from_rgb(238, 238, 238),
    line: Color32::BLACK,
    text: Color32::BLACK,
    quiet: Color32::BLACK,
    chosen: Color32::BLACK,
    on_chosen: Color32::WHITE,
    // Seen on white and on black.
    focus: BLUE,
    drives: Color32::BLACK,
    on_drives: Color32::WHITE,
    parted: Color32::BLACK,
    field: Color32::WHITE,
    raised: Color32::WHITE,
    band: Color32::from_rgb(150, 150, 150),
    heavy: 1.6,
    least: BODY,
    hues: Hues::Projector,
};

impl Palette {
    /// The colours that fit egui's theme, or those for a projector.
    pub fn of(theme: egui::Theme, projected: bool) -> Self {
        match theme {
            egui::Theme::Light if projected => PROJECTOR,
            egui::Theme::Light => LIGHT,
            egui::Theme::Dark => DARK,
        }
    }

    /// The size of letters of what a class reads, `usual` on the other sheets.
    pub fn letters(&self, usual: f32) -> f32 {
        usual.max(self.least)
    }

    /// A line in a weight that is usual on the other sheets.
    pub fn stroke(&self, usual: f32, colour: Color32) -> Stroke {
        Stroke::new(usual * self.heavy, colour)
    }

    /// Fill and words of a signal word's panel, after ANSI Z535.4: red, orange, yellow (from memory).
    pub fn signal(&self, level: Level) -> (Color32, Color32) {
        match level {
            Level::Danger => (SIGNAL_RED, Color32::WHITE),
            Level::Warning => (ORANGE, NIGHT),
            Level::Caution => (YELLOW, NIGHT),
        }
    }

    /// Colour of a line of the strip chart, the first three told apart by all eyes.
    pub fn chart(&self, line: usize) -> Color32 {
        let [first, second, third] = match self.hues {
            Hues::Light => [BLUE, VERMILLION_DEEP, GREEN_DEEP],
            Hues::Dark => [SKY, VERMILLION_LIGHT, GREEN_LIGHT],
            // Told apart by their dashes.
            Hues::Projector => [Color32::BLACK; 3],
        };
        [first, second, third][line % 3]
    }

    /// Colour of a drawing's role.
    pub fn ink(&self, ink: Ink) -> Color32 {
        match self.hues {
            Hues::Light => light_ink(ink),
            Hues::Dark => dark_ink(ink),
            Hues::Projector => projector_ink(ink),
        }
    }
}

fn light_ink(ink: Ink) -> Color32 {
    match ink {
        Ink::Symbol | Ink::Blade | Ink::Junction | Ink::TagText => LIGHT.text,
        Ink::SymbolFill | Ink::Halo => LIGHT.sheet,
        Ink::RestMark | Ink::AirVented | Ink::WireFloating | Ink::TerminalFloating => Color32::from_rgb(122, 118, 108),
        Ink::Link | Ink::RatingText | Ink::TerminalText => Color32::from_rgb(72, 68, 60),
        Ink::Active => ORANGE,
        Ink::Glow | Ink::Highlight => YELLOW,
        Ink::AirPassing | Ink::WireFed | Ink::TerminalFed => BLUE,
        Ink::WireCarrying | Ink::Arrow | Ink::LooseEnd => VERMILLION_DEEP,
        Ink::WireCasing => Color32::from_rgb(247, 217, 184),
        Ink::WireGrounded | Ink::TerminalGrounded | Ink::WireText => Color32::from_rgb(60, 60, 60),
        Ink::TerminalBetween | Ink::Fault | Ink::FaultText => PURPLE_DEEP,
        Ink::ReadingText | Ink::Lead | Ink::LeadText => GREEN_DEEP,
        Ink::PlusLead => SIGNAL_RED,
        Ink::MinusLead | Ink::Instrument | Ink::InstrumentText => LIGHT.text,
    }
}

fn dark_ink(ink: Ink) -> Color32 {
    match ink {
        Ink::Symbol | Ink::Blade | Ink::Junction | Ink::TagText => DARK.text,
        Ink::SymbolFill | Ink::Halo => DARK.sheet,
        Ink::RestMark | Ink::AirVented | Ink::WireFloating | Ink::TerminalFloating => Color32::from_rgb(132, 146, 156),
        Ink::Link | Ink::RatingText | Ink::TerminalText | Ink::WireText => Color32::from_rgb(190, 200, 206),
        Ink::Active => ORANGE,
        Ink::Glow => YELLOW,
        Ink::Highlight => Color32::from_rgb(82, 76, 18),
        Ink::AirPassing | Ink::WireFed | Ink::TerminalFed => SKY,
        Ink::WireCarrying | Ink::Arrow | Ink::LooseEnd => VERMILLION_LIGHT,
        Ink::WireCasing => Color32::from_rgb(92, 52, 24),
        Ink::WireGrounded | Ink::TerminalGrounded => Color32::from_rgb(206, 214, 218),
        Ink::TerminalBetween | Ink::Fault | Ink::FaultText => PURPLE_LIGHT,
        Ink::ReadingText | Ink::Lead | Ink::LeadText => GREEN_LIGHT,
        Ink::PlusLead => RED_LIGHT,
        // A black lead would be lost on a dark sheet.
        Ink::MinusLead | Ink::Instrument | Ink::InstrumentText => DARK.text,
    }
}

/// Weight, casing, dashes, arrowheads and fills tell what hues tell elsewhere.
fn projector_ink(ink: Ink) -> Color32 {
    match ink {
        Ink::SymbolFill | Ink::Halo | Ink::Glow => Color32::WHITE,
        Ink::Highlight => Color32::from_rgb(215, 215, 215),
        Ink::WireCasing => Color32::from_rgb(190, 190, 190),
        Ink::Active => Color32::from_rgb(160, 160, 160),
        Ink::RestMark | Ink::AirVented | Ink::WireFloating | Ink::TerminalFloating => Color32::from_rgb(96, 96, 96),
        Ink::Symbol
        | Ink::Blade
        | Ink::Junction
        | Ink::TagText
        | Ink::Link
        | Ink::RatingText
        | Ink::TerminalText
        | Ink::AirPassing
        | Ink::WireFed
        | Ink::TerminalFed
        | Ink::WireCarrying
        | Ink::Arrow
        | Ink::LooseEnd
        | Ink::WireGrounded
        | Ink::TerminalGrounded
        | Ink::WireText
        | Ink::TerminalBetween
        | Ink::Fault
        | Ink::FaultText
        | Ink::ReadingText
        | Ink::Lead
        | Ink::LeadText
        | Ink::PlusLead
        | Ink::MinusLead
        | Ink::Instrument
        | Ink::InstrumentText => Color32::BLACK,
    }
}

/// The bold face.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("bold".into()))
}

/// The plain face.
pub fn plain(size: f32) -> FontId {
    FontId::proportional(size)
}

/// Installs faces, sizes and colours of both themes.
pub fn install(ctx: &egui::Context) {
    let family = |family, priority| vec![InsertFontFamily { family, priority }];
    ctx.add_font(FontInsert::new(
        "DejaVu Sans",
        FontData::from_static(include_bytes!("../../assets/fonts/DejaVuSans.ttf")),
        family(FontFamily::Proportional, FontPriority::Highest),
    ));
    ctx.add_font(FontInsert::new(
        "DejaVu Sans Bold",
        FontData::from_static(include_bytes!("../../assets/fonts/DejaVuSans-Bold.ttf")),
        family(FontFamily::Name("bold".into()), FontPriority::Highest),
    ));
    ctx.set_visuals_of(egui::Theme::Dark, visuals(&DARK));
    dress_light(ctx, false);
    ctx.options_mut(|options| {
        // Where the desktop does not say, paper is light.
        options.fallback_theme = egui::Theme::Light;
        // Letters are sized by the window's own keys, which know how far.
        options.zoom_with_keyboard = false;
    });
    ctx.all_styles_mut(|style| {
        // Nothing moves by itself, so an untouched window comes to rest at once.
        style.animation_time = 0.0;
        // A wheel moves what lies sideways too, where that is all that can be moved.
        style.always_scroll_the_only_direction = true;
        style.spacing.item_spacing = egui::vec2(8.0, 5.0);
        style.spacing.button_padding = egui::vec2(8.0, 4.0);
        style.text_styles.insert(TextStyle::Body, plain(BODY));
        style.text_styles.insert(TextStyle::Button, plain(BODY));
        style.text_styles.insert(TextStyle::Small, plain(11.5));
        style.text_styles.insert(TextStyle::Heading, bold(16.0));
        style.text_styles.insert(TextStyle::Monospace, FontId::monospace(12.5));
    });
}

/// Colours of whatever is drawn in egui's light theme: the light sheet, or that for a projector.
pub fn dress_light(ctx: &egui::Context, projected: bool) {
    let theme = egui::Theme::Light;
    ctx.set_visuals_of(theme, visuals(&Palette::of(theme, projected)));
}

fn visuals(palette: &Palette) -> Visuals {
    let mut v = if palette.hues == Hues::Dark { Visuals::dark() } else { Visuals::light() };
    let corner = CornerRadius::same(2);
    v.panel_fill = palette.ground;
    v.window_fill = palette.ground;
    v.window_stroke = Stroke::new(1.5, palette.line);
    v.window_corner_radius = corner;
    v.menu_corner_radius = corner;
    v.override_text_color = None;
    v.weak_text_color = Some(palette.quiet);
    v.extreme_bg_color = palette.field;
    v.text_edit_bg_color = Some(palette.field);
    v.faint_bg_color = palette.sheet;
    v.code_bg_color = palette.sheet;
    v.hyperlink_color = palette.chosen;
    v.warn_fg_color = palette.parted;
    v.error_fg_color = palette.parted;
    v.selection.bg_fill = palette.chosen;
    v.selection.stroke = Stroke::new(1.5, palette.on_chosen);
    let thin = palette.stroke(1.0, palette.line);
    for state in [
        &mut v.widgets.noninteractive,
        &mut v.widgets.inactive,
        &mut v.widgets.hovered,
        &mut v.widgets.active,
        &mut v.widgets.open,
    ] {
        state.corner_radius = corner;
        state.bg_stroke = thin;
        state.fg_stroke = Stroke::new(1.0, palette.text);
        state.bg_fill = palette.raised;
        state.weak_bg_fill = palette.raised;
        state.expansion = 0.0;
    }
    let ring = Stroke::new(2.0, palette.focus);
    v.widgets.hovered.bg_stroke = ring;
    v.widgets.active.bg_stroke = ring;
    v.window_shadow = egui::Shadow::NONE;
    v.popup_shadow = egui::Shadow::NONE;
    v
}

/// The icon of the window, drawn for this program: a fan behind a parted chain link.
pub fn icon() -> Option<Arc<egui::IconData>> {
    eframe::icon_data::from_png_bytes(include_bytes!("../../assets/icon.png")).ok().map(Arc::new)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast ratio as WCAG 2.1 defines them.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let channel = |v: u8| {
                let v = f64::from(v) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_of_black_and_white_is_the_21_of_the_standard() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn words_stand_out_from_what_they_stand_on() {
        for p in [LIGHT, DARK, PROJECTOR] {
            let mut pairs = vec![
                (p.text, p.ground),
                (p.text, p.sheet),
                (p.text, p.raised),
                (p.text, p.field),
                (p.quiet, p.ground),
                (p.quiet, p.sheet),
                (p.on_chosen, p.chosen),
                (p.on_drives, p.drives),
                (p.parted, p.ground),
                (p.parted, p.sheet),
                (p.chosen, p.ground),
            ];
            let words = [
                Ink::TagText,
                Ink::RatingText,
                Ink::TerminalText,
                Ink::WireText,
                Ink::ReadingText,
                Ink::LeadText,
                Ink::InstrumentText,
                Ink::FaultText,
            ];
            pairs.extend(words.map(|ink| (p.ink(ink), p.sheet)));
            pairs.extend([Level::Danger, Level::Warning, Level::Caution].map(|level| p.signal(level)));
            for (over, under) in pairs {
                let ratio = contrast(over, under);
                assert!(ratio >= 4.5, "{over:?} on {under:?} has only {ratio:.2}, {:?}", p.hues);
            }
        }
    }

    #[test]
    fn lines_stand_out_from_the_sheet() {
        for p in [LIGHT, DARK, PROJECTOR] {
            let lines = [
                Ink::Symbol,
                Ink::Blade,
                Ink::RestMark,
                Ink::Link,
                Ink::WireFed,
                Ink::WireCarrying,
                Ink::WireFloating,
                Ink::WireGrounded,
                Ink::TerminalBetween,
                Ink::Lead,
                Ink::PlusLead,
                Ink::MinusLead,
                Ink::LooseEnd,
                Ink::Fault,
            ];
            for ink in lines {
                let ratio = contrast(p.ink(ink), p.sheet);
                assert!(ratio >= 3.0, "{ink:?} has only {ratio:.2}, {:?}", p.hues);
            }
            assert!(contrast(p.focus, p.sheet) >= 3.0 && contrast(p.focus, p.ground) >= 3.0);
        }
    }
}
