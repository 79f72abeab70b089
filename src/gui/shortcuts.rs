//! All keys of the window, in one place: what each does, in which group it is told, and when it is obeyed.
//!
//! Yields [`BINDINGS`], by which the window obeys its keys and which its dialog of keys lists, so that they cannot differ.
//! Those that belong to no single widget are read once at the start of a frame by [`read`], so that they work whatever is
//! open, but never while a person is typing; a widget with keys of its own asks with [`presses`]. What egui itself does
//! with keys in every window stands there as [`Does::Everywhere`].

use egui::gui_zoom::kb_shortcuts;
use egui::{Context, InputState, Key, KeyboardShortcut, Modifiers};

use crate::bench::Action;

use super::bay::Bay;
use super::build::BuildStep;
use super::clock::Clock;
use super::command::{Command, Commands, Dialog, Move};
use super::demonstrating::DemoStep;
use super::dress::STEP;
use super::filing::FileStep;
use super::ids;
use super::panel::overlay::ZOOM_STEP;
use super::row::Row;
use super::seen::{Drawer, Room};
use super::tongue::{key, t};
use super::tool::ToolKind;

/// What keys are for; they are told in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Going about the window and using what one is at.
    Hands,
    /// What is in hand.
    Tools,
    /// Taking back and doing again.
    Steps,
    /// What stands beside the drawing and over it.
    Answers,
    /// How much of the drawing is seen.
    Sheet,
    /// A condition's scale that has the keyboard.
    Scale,
    /// A part in hand while the circuit is built.
    Building,
    /// Time.
    Time,
    /// Several circuits.
    Several,
    /// A demonstration.
    Demonstration,
    /// Files.
    Files,
    /// The window itself.
    Window,
}

impl Group {
    /// Every group, in the order in which they are told.
    pub const ALL: [Self; 12] = [
        Self::Hands,
        Self::Tools,
        Self::Steps,
        Self::Answers,
        Self::Sheet,
        Self::Scale,
        Self::Building,
        Self::Time,
        Self::Several,
        Self::Demonstration,
        Self::Files,
        Self::Window,
    ];

    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hands => t!("shortcuts-going-about"),
            Self::Tools => t!("shortcuts-tools"),
            Self::Steps => t!("shortcuts-taking-back"),
            Self::Answers => t!("shortcuts-answers"),
            Self::Sheet => t!("shortcuts-drawing"),
            Self::Scale => t!("shortcuts-scale"),
            Self::Building => t!("shortcuts-part-in-hand"),
            Self::Time => t!("shortcuts-clock-out"),
            Self::Several => t!("shortcuts-several-circuits"),
            Self::Demonstration => t!("shortcuts-demonstration"),
            Self::Files => t!("shortcuts-files"),
            Self::Window => t!("shortcuts-window"),
        }
    }
}

/// What a widget with keys of its own is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// What can be wrong with the thing one is at.
    Faults,
    /// A scale, a step on or back.
    Step(i8),
    /// A scale, a stride on or back.
    Stride(i8),
    /// A scale, its beginning or its end.
    End(i8),
    /// A part in hand, so many steps to the right and down.
    Shift(i8, i8),
}

/// What the window is like when a key is pressed.
pub struct Now<'a> {
    room: &'a Room,
    row: &'a Row,
    clock: Option<&'a Clock>,
    demonstrates: bool,
    has_focus: bool,
}

/// Who obeys a key.
pub enum Does {
    /// The window; not where it has nothing to do with it.
    Here(fn(&Now<'_>) -> Option<Command>),
    /// The window, over an open dialog and while somebody types too.
    Always(fn() -> Command),
    /// The widget that has the keyboard.
    Widget(Asked),
    /// egui, in every window.
    Everywhere,
}

/// Keys and what they do.
pub struct Binding {
    /// What they are for.
    pub group: Group,
    /// The keys; each of them does it.
    pub keys: &'static [KeyboardShortcut],
    /// What they do, as a key of the words.
    pub says: &'static str,
    /// Who obeys them.
    pub does: Does,
}

const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::SHIFT, key)
}

const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

const fn of(group: Group, keys: &'static [KeyboardShortcut], says: &'static str, does: Does) -> Binding {
    Binding { group, keys, says, does }
}

/// Pulls a drawer out, or pushes it in.
fn pull(now: &Now<'_>, drawer: Drawer) -> Option<Command> {
    Some(Command::Pull((now.room.open_drawer() != Some(drawer)).then_some(drawer)))
}

fn several(now: &Now<'_>, command: Command) -> Option<Command> {
    (now.row.count() > 1).then_some(command)
}

/// What the buttons of a pointer for talks send; a scale with the keyboard has them for itself.
fn show(now: &Now<'_>, step: DemoStep) -> Option<Command> {
    (now.demonstrates && !now.has_focus).then_some(Command::Demonstrate(step))
}

/// Every key of the window. Of two on one key the longer chord comes first: Ctrl+Z would swallow Ctrl+Shift+Z.
#[rustfmt::skip]
pub static BINDINGS: &[Binding] = &[
    of(Group::Hands, &[plain(Key::Tab), shift(Key::Tab)], key!("shortcuts-next-or-last"), Does::Everywhere),
    of(Group::Hands, &[plain(Key::ArrowLeft), plain(Key::ArrowRight), plain(Key::ArrowUp), plain(Key::ArrowDown)], key!("shortcuts-what-lies-that-way"), Does::Everywhere),
    of(Group::Hands, &[plain(Key::Enter), plain(Key::Space)], key!("shortcuts-press-or-use"), Does::Everywhere),
    of(Group::Hands, &[plain(Key::X), shift(Key::F10), plain(Key::Menu)], key!("shortcuts-what-can-be-wrong"), Does::Widget(Asked::Faults)),

    of(Group::Demonstration, &[plain(Key::PageDown)], key!("shortcuts-next-step"), Does::Here(|now| show(now, DemoStep::Move(1)))),
    of(Group::Demonstration, &[plain(Key::PageUp)], key!("shortcuts-last-step"), Does::Here(|now| show(now, DemoStep::Move(-1)))),
    of(Group::Demonstration, &[plain(Key::Home)], key!("shortcuts-first-step"), Does::Here(|now| show(now, DemoStep::Go(0)))),

    of(Group::Steps, &[ctrl_shift(Key::Z), ctrl(Key::Y)], key!("shortcuts-redo"), Does::Here(|_| Some(Command::Act(Action::Redo)))),
    of(Group::Steps, &[ctrl(Key::Z)], key!("shortcuts-undo"), Does::Here(|_| Some(Command::Act(Action::Undo)))),

    of(Group::Files, &[ctrl(Key::O)], key!("shortcuts-open"), Does::Here(|_| Some(Command::Ask(Some(Dialog::Open))))),
    of(Group::Files, &[ctrl_shift(Key::S)], key!("shortcuts-save-as"), Does::Here(|_| Some(Command::Ask(Some(Dialog::Save))))),
    of(Group::Files, &[ctrl(Key::S)], key!("shortcuts-save"), Does::Here(|_| Some(Command::File(FileStep::Save)))),

    of(Group::Window, &[plain(Key::F1)], key!("shortcuts-terms"), Does::Here(|_| Some(Command::Ask(Some(Dialog::Terms(None)))))),
    of(Group::Window, &[plain(Key::F2), plain(Key::Questionmark)], key!("shortcuts-keys"), Does::Here(|_| Some(Command::Ask(Some(Dialog::Keys))))),
    of(Group::Window, &[kb_shortcuts::ZOOM_IN, kb_shortcuts::ZOOM_IN_SECONDARY], key!("shortcuts-larger"), Does::Always(|| Command::TextScale(Some(STEP)))),
    of(Group::Window, &[kb_shortcuts::ZOOM_OUT], key!("shortcuts-smaller"), Does::Always(|| Command::TextScale(Some(-STEP)))),
    of(Group::Window, &[kb_shortcuts::ZOOM_RESET], key!("shortcuts-usual-size"), Does::Always(|| Command::TextScale(None))),

    of(Group::Tools, &[plain(Key::Num1)], key!("tray-hand"), Does::Here(|_| Some(Command::PickUp(ToolKind::Hand)))),
    of(Group::Tools, &[plain(Key::Num2)], key!("tray-jumper-lead"), Does::Here(|_| Some(Command::PickUp(ToolKind::Lead)))),
    of(Group::Tools, &[plain(Key::Num3)], key!("tray-lift"), Does::Here(|_| Some(Command::PickUp(ToolKind::Lift)))),
    of(Group::Tools, &[plain(Key::Num4)], key!("tray-meter"), Does::Here(|_| Some(Command::PickUp(ToolKind::Meter)))),
    of(Group::Tools, &[plain(Key::Num5)], key!("tray-test-lamp"), Does::Here(|_| Some(Command::PickUp(ToolKind::Lamp)))),
    of(Group::Tools, &[plain(Key::Num6)], key!("tray-clamp"), Does::Here(|_| Some(Command::PickUp(ToolKind::Clamp)))),
    of(Group::Tools, &[plain(Key::Escape)], key!("shortcuts-put-tool-back"), Does::Here(|_| Some(Command::PutToolBack))),

    of(Group::Answers, &[plain(Key::P)], key!("shortcuts-prove"), Does::Here(|now| pull(now, Drawer::Prove))),
    of(Group::Answers, &[plain(Key::L)], key!("shortcuts-logic"), Does::Here(|now| pull(now, Drawer::Logic))),
    of(Group::Answers, &[plain(Key::W)], key!("shortcuts-faults"), Does::Here(|now| pull(now, Drawer::Faults))),
    of(Group::Answers, &[plain(Key::I)], key!("shortcuts-find"), Does::Here(|now| pull(now, Drawer::Find))),
    of(Group::Answers, &[plain(Key::H)], key!("shortcuts-hunt"), Does::Here(|now| pull(now, Drawer::Hunt))),
    of(Group::Answers, &[plain(Key::S)], key!("shortcuts-steps"), Does::Here(|now| pull(now, Drawer::Steps))),
    of(Group::Answers, &[plain(Key::E)], key!("shortcuts-build"), Does::Here(|now| pull(now, Drawer::Build))),
    of(Group::Answers, &[plain(Key::C)], key!("shortcuts-card"), Does::Here(|_| Some(Command::Ask(Some(Dialog::Card))))),

    of(Group::Time, &[plain(Key::T)], key!("shortcuts-clock"), Does::Here(|now| Some(Command::Clock(now.clock.is_none())))),
    of(Group::Time, &[plain(Key::R)], key!("shortcuts-run"), Does::Here(|now| now.clock.map(|clock| Command::Play(!clock.playing)))),
    of(Group::Time, &[plain(Key::Period)], key!("shortcuts-step-clock"), Does::Here(|now| now.clock.map(|_| Command::StepClock))),

    of(Group::Several, &[plain(Key::N)], key!("shortcuts-next-circuit"), Does::Here(|now| several(now, Command::Bring(None)))),
    of(Group::Several, &[plain(Key::B)], key!("shortcuts-side-by-side"), Does::Here(|now| several(now, Command::SideBySide(!now.row.side_by_side)))),
    of(Group::Several, &[plain(Key::D)], key!("shortcuts-on-both"), Does::Here(|now| several(now, Command::Together(!now.row.together)))),

    of(Group::Sheet, &[plain(Key::G)], key!("shortcuts-to-the-drawing"), Does::Here(|_| Some(Command::ToDrawing))),
    of(Group::Sheet, &[plain(Key::Plus), plain(Key::Equals)], key!("shortcuts-nearer"), Does::Here(|_| Some(Command::View(Move::Zoom(ZOOM_STEP))))),
    of(Group::Sheet, &[plain(Key::Minus)], key!("shortcuts-further"), Does::Here(|_| Some(Command::View(Move::Zoom(1.0 / ZOOM_STEP))))),
    of(Group::Sheet, &[plain(Key::F)], key!("shortcuts-whole-sheet"), Does::Here(|_| Some(Command::View(Move::Fit)))),

    of(Group::Scale, &[plain(Key::ArrowRight), plain(Key::ArrowUp)], key!("shortcuts-a-step-up"), Does::Widget(Asked::Step(1))),
    of(Group::Scale, &[plain(Key::ArrowLeft), plain(Key::ArrowDown)], key!("shortcuts-a-step-down"), Does::Widget(Asked::Step(-1))),
    of(Group::Scale, &[plain(Key::PageUp)], key!("shortcuts-a-stride-up"), Does::Widget(Asked::Stride(1))),
    of(Group::Scale, &[plain(Key::PageDown)], key!("shortcuts-a-stride-down"), Does::Widget(Asked::Stride(-1))),
    of(Group::Scale, &[plain(Key::Home)], key!("shortcuts-its-beginning"), Does::Widget(Asked::End(-1))),
    of(Group::Scale, &[plain(Key::End)], key!("shortcuts-its-end"), Does::Widget(Asked::End(1))),

    of(Group::Building, &[plain(Key::Delete)], key!("shortcuts-take-chosen-away"), Does::Here(|now| (now.room.drawer == Some(Drawer::Build)).then_some(Command::Build(BuildStep::TakeChosen)))),
    of(Group::Building, &[shift(Key::ArrowLeft)], key!("shortcuts-far-left"), Does::Widget(Asked::Shift(-STRIDE, 0))),
    of(Group::Building, &[shift(Key::ArrowRight)], key!("shortcuts-far-right"), Does::Widget(Asked::Shift(STRIDE, 0))),
    of(Group::Building, &[shift(Key::ArrowUp)], key!("shortcuts-far-up"), Does::Widget(Asked::Shift(0, -STRIDE))),
    of(Group::Building, &[shift(Key::ArrowDown)], key!("shortcuts-far-down"), Does::Widget(Asked::Shift(0, STRIDE))),
    of(Group::Building, &[plain(Key::ArrowLeft)], key!("shortcuts-a-bit-left"), Does::Widget(Asked::Shift(-1, 0))),
    of(Group::Building, &[plain(Key::ArrowRight)], key!("shortcuts-a-bit-right"), Does::Widget(Asked::Shift(1, 0))),
    of(Group::Building, &[plain(Key::ArrowUp)], key!("shortcuts-a-bit-up"), Does::Widget(Asked::Shift(0, -1))),
    of(Group::Building, &[plain(Key::ArrowDown)], key!("shortcuts-a-bit-down"), Does::Widget(Asked::Shift(0, 1))),
];

/// Steps of a part in hand that Shift makes of one.
const STRIDE: i8 = 6;

/// Turns keys into commands. An open dialog silences all but what it reads itself and the size of letters.
pub fn read(ctx: &Context, (room, row): (&Room, &Row), front: &Bay, commands: &mut Commands) {
    let is_silent = room.dialog.is_some() || ctx.text_edit_focused();
    let now = Now {
        room,
        row,
        clock: front.session.clock(),
        demonstrates: front.demonstrating.is_some(),
        has_focus: ctx.memory(|memory| memory.focused().is_some_and(|at| at != ids::drawer_head())),
    };
    ctx.input_mut(|input| {
        for binding in BINDINGS {
            let command = match binding.does {
                Does::Always(does) => Some(does()),
                Does::Here(does) if !is_silent => does(&now),
                Does::Here(_) | Does::Widget(_) | Does::Everywhere => None,
            };
            if let Some(command) = command
                && binding.keys.iter().any(|keys| is_pressed(input, keys))
            {
                commands.push(command);
            }
        }
    });
}

/// Whether keys were pressed. They are used up by that, but for Escape, with which whatever is open closes too.
fn is_pressed(input: &mut InputState, keys: &KeyboardShortcut) -> bool {
    if keys.logical_key == Key::Escape { input.key_pressed(Key::Escape) } else { input.consume_shortcut(keys) }
}

/// How often a widget was asked for something by its keys, which are used up by that.
pub fn presses(input: &mut InputState, asked: Asked) -> usize {
    let meant = BINDINGS.iter().filter(|binding| matches!(binding.does, Does::Widget(of) if of == asked));
    let keys = meant.flat_map(|binding| binding.keys);
    keys.map(|keys| input.count_and_consume_key(keys.modifiers, keys.logical_key)).sum()
}

/// The moves of a part in hand: how far to the right and down each press of their keys takes it.
pub fn shifts(input: &mut InputState) -> (i32, i32) {
    let mut moved = (0, 0);
    for binding in BINDINGS {
        let Does::Widget(Asked::Shift(right, down)) = binding.does else { continue };
        let presses = |keys: &KeyboardShortcut| input.count_and_consume_key(keys.modifiers, keys.logical_key);
        let times = i32::try_from(binding.keys.iter().map(presses).sum::<usize>()).unwrap_or(0);
        moved = (moved.0 + i32::from(right) * times, moved.1 + i32::from(down) * times);
    }
    moved
}

/// Keys in words, as they are engraved where the language is spoken.
pub fn words(keys: &KeyboardShortcut) -> String {
    let mut words = String::new();
    if keys.modifiers.command || keys.modifiers.ctrl {
        words.push_str(t!("shortcuts-ctrl"));
        words.push('+');
    }
    if keys.modifiers.shift {
        words.push_str(t!("shortcuts-shift"));
        words.push('+');
    }
    words.push_str(match keys.logical_key {
        Key::Tab => t!("shortcuts-tab"),
        Key::Enter => t!("shortcuts-enter"),
        Key::Space => t!("shortcuts-space"),
        Key::Escape => t!("shortcuts-esc"),
        Key::Menu => t!("shortcuts-menu"),
        Key::PageDown => t!("shortcuts-page-down"),
        Key::PageUp => t!("shortcuts-page-up"),
        Key::Home => t!("shortcuts-home"),
        Key::End => t!("shortcuts-end"),
        Key::Delete => t!("shortcuts-delete"),
        Key::Period => t!("shortcuts-period"),
        Key::ArrowLeft => "\u{2190}",
        Key::ArrowRight => "\u{2192}",
        Key::ArrowUp => "\u{2191}",
        Key::ArrowDown => "\u{2193}",
        other => other.symbol_or_name(),
    });
    words
}
