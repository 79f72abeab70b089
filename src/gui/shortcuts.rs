//! All keys of the window that belong to no single widget, in one place.
//!
//! Read once at the start of a frame, so that a key works whatever is open, but never while a person is typing.

use egui::gui_zoom::kb_shortcuts;
use egui::{Context, Key, KeyboardShortcut, Modifiers};

use crate::bench::Action;

use super::bay::Bay;
use super::command::{Command, Commands, Dialog, Move};
use super::demonstrating::DemoStep;
use super::dress::STEP;
use super::filing::FileStep;
use super::panel::overlay::ZOOM_STEP;
use super::row::Row;
use super::seen::{Drawer, Room};
use super::tool::ToolKind;

const REDO: [KeyboardShortcut; 2] = [
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z),
    KeyboardShortcut::new(Modifiers::COMMAND, Key::Y),
];
const UNDO: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Z);
const SAVE_AS: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::S);
const SAVE: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::S);
const OPEN: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::O);

/// Turns keys into commands. An open dialog silences all but what it reads itself and the size of letters.
pub fn read(ctx: &Context, (room, row): (&Room, &Row), front: &Bay, commands: &mut Commands) {
    let (clock, demonstrates) = (front.session.clock(), front.demonstrating.is_some());
    ctx.input_mut(|input| {
        let sizes = [
            (kb_shortcuts::ZOOM_IN, Some(STEP)),
            (kb_shortcuts::ZOOM_IN_SECONDARY, Some(STEP)),
            (kb_shortcuts::ZOOM_OUT, Some(-STEP)),
            (kb_shortcuts::ZOOM_RESET, None),
        ];
        for (keys, by) in sizes {
            if input.consume_shortcut(&keys) {
                commands.push(Command::TextScale(by));
            }
        }
    });
    if room.dialog.is_some() || ctx.text_edit_focused() {
        return;
    }
    let has_focus = ctx.memory(|memory| memory.focused().is_some());
    ctx.input_mut(|input| {
        // What the buttons of a pointer for talks send; a scale with the keyboard has them for itself.
        if demonstrates && !has_focus {
            let ways =
                [(Key::PageDown, DemoStep::Move(1)), (Key::PageUp, DemoStep::Move(-1)), (Key::Home, DemoStep::Go(0))];
            for (key, step) in ways {
                if input.consume_key(Modifiers::NONE, key) {
                    commands.push(Command::Demonstrate(step));
                }
            }
        }
        // The longer chord first: Ctrl+Z would swallow Ctrl+Shift+Z.
        if REDO.iter().any(|keys| input.consume_shortcut(keys)) {
            commands.push(Command::Act(Action::Redo));
        }
        if input.consume_shortcut(&UNDO) {
            commands.push(Command::Act(Action::Undo));
        }
        if input.consume_shortcut(&SAVE_AS) {
            commands.push(Command::Ask(Some(Dialog::Save)));
        }
        if input.consume_shortcut(&SAVE) {
            commands.push(Command::File(FileStep::Save));
        }
        if input.consume_shortcut(&OPEN) {
            commands.push(Command::Ask(Some(Dialog::Open)));
        }
        if input.key_pressed(Key::F1) {
            commands.push(Command::Ask(Some(Dialog::Terms(None))));
        }
        if input.key_pressed(Key::Escape) {
            commands.push(Command::PutToolBack);
        }
        let tools = [
            (Key::Num1, ToolKind::Hand),
            (Key::Num2, ToolKind::Lead),
            (Key::Num3, ToolKind::Lift),
            (Key::Num4, ToolKind::Meter),
            (Key::Num5, ToolKind::Lamp),
            (Key::Num6, ToolKind::Clamp),
        ];
        for (key, kind) in tools {
            if input.consume_key(Modifiers::NONE, key) {
                commands.push(Command::PickUp(kind));
            }
        }
        let drawers = [
            (Key::P, Drawer::Prove),
            (Key::L, Drawer::Logic),
            (Key::W, Drawer::Faults),
            (Key::I, Drawer::Find),
            (Key::H, Drawer::Hunt),
            (Key::S, Drawer::Steps),
            (Key::E, Drawer::Build),
        ];
        for (key, drawer) in drawers {
            if input.consume_key(Modifiers::NONE, key) {
                commands.push(Command::Pull((room.open_drawer() != Some(drawer)).then_some(drawer)));
            }
        }
        if input.consume_key(Modifiers::NONE, Key::T) {
            commands.push(Command::Clock(clock.is_none()));
        }
        if let Some(clock) = clock {
            if input.consume_key(Modifiers::NONE, Key::R) {
                commands.push(Command::Play(!clock.playing));
            }
            if input.consume_key(Modifiers::NONE, Key::Period) {
                commands.push(Command::StepClock);
            }
        }
        if row.count() > 1 {
            if input.consume_key(Modifiers::NONE, Key::N) {
                commands.push(Command::Bring(None));
            }
            if input.consume_key(Modifiers::NONE, Key::B) {
                commands.push(Command::SideBySide(!row.side_by_side));
            }
            if input.consume_key(Modifiers::NONE, Key::D) {
                commands.push(Command::Together(!row.together));
            }
        }
        if input.consume_key(Modifiers::NONE, Key::C) {
            commands.push(Command::Ask(Some(Dialog::Card)));
        }
        let nearer = input.consume_key(Modifiers::NONE, Key::Plus) || input.consume_key(Modifiers::NONE, Key::Equals);
        let moves = [
            (nearer, Move::Zoom(ZOOM_STEP)),
            (input.consume_key(Modifiers::NONE, Key::Minus), Move::Zoom(1.0 / ZOOM_STEP)),
            (input.consume_key(Modifiers::NONE, Key::F), Move::Fit),
        ];
        for (_, asked) in moves.into_iter().filter(|(pressed, _)| *pressed) {
            commands.push(Command::View(asked));
        }
    });
}
