//! What each key does, context by context. Nothing else says it.

use crossterm::event::KeyCode;

use super::Key::{self, Code, Control, Sign};
use super::{Act, Binding};
use crate::tui::base::Base;

const fn bind(
    keys: &'static [Key],
    shown: &'static str,
    does: &'static str,
    hint: Option<&'static str>,
    act: Act,
) -> Binding {
    Binding { keys, shown, does, hint, act }
}

pub(super) const UP: &[Key] = &[Code(KeyCode::Up)];
pub(super) const DOWN: &[Key] = &[Code(KeyCode::Down)];
pub(super) const LEFT: &[Key] = &[Code(KeyCode::Left)];
pub(super) const RIGHT: &[Key] = &[Code(KeyCode::Right)];
pub(super) const ENTER: &[Key] = &[Code(KeyCode::Enter)];
pub(super) const ESC: &[Key] = &[Code(KeyCode::Esc)];
pub(super) const SPACE: &[Key] = &[Sign(' ')];
pub(super) const HELP: &[Key] = &[Sign('?'), Code(KeyCode::F(1))];
pub(super) const ERASE: &[Key] = &[Code(KeyCode::Backspace)];

const REDRAW: Binding = bind(&[Control('l')], "Ctrl-L", "draw the screen again", None, Act::Redraw);

/// In force on every screen that is not covered by something else.
pub(super) const ELSEWHERE: &[Binding] = &[
    bind(&[Sign('1')], "1", "the Board: what state every room is in", None, Act::Turn(Base::Board)),
    bind(&[Sign('2')], "2", "the Beds: which can be given away now, and which is next", None, Act::Turn(Base::Beds)),
    bind(&[Sign('3')], "3", "the Tasks: what is due, and what gives most beds back", None, Act::Turn(Base::Tasks)),
    bind(&[Sign('4')], "4", "the Bags: where every bag is, and what it holds up", None, Act::Turn(Base::Bags)),
    bind(&[Sign('5')], "5", "the Ledger: who noted what, and when", None, Act::Turn(Base::Ledger)),
    bind(&[Sign('6')], "6", "the Rules, and where they come from", None, Act::Turn(Base::Rules)),
    bind(&[Code(KeyCode::Tab)], "Tab", "the next screen", None, Act::NextScreen),
    bind(&[Code(KeyCode::BackTab)], "Shift-Tab", "the screen before", None, Act::PreviousScreen),
    bind(&[Sign('/')], "/", "jump to a room by its code", Some("find a room"), Act::Jump),
    bind(
        &[Sign('h')],
        "h",
        "your shift: what changed, what is carried over, who may sign now",
        Some("shift"),
        Act::Shift,
    ),
    bind(&[Sign('b')], "b", "a bug or a sign of one was seen in the room", None, Act::Seen),
    bind(&[Sign('u')], "u", "undo: void your own last entry", None, Act::Undo),
    bind(&[Sign('s')], "s", "sign in: choose yourself from the roster", None, Act::SignIn),
    bind(&[Sign('o')], "o", "sign out", None, Act::SignOut),
    REDRAW,
];

pub(super) const HELP_KEY: &[Binding] = &[bind(HELP, "?", "this help", Some("help"), Act::Help)];

/// About the room of the chosen line.
pub(super) const OF_ROOM: &[Binding] = &[
    bind(SPACE, "Space", "look at the room: why it is as it is", Some("the room"), Act::Look),
    bind(&[Sign('m')], "m", "the other moves of the room, numbered", Some("moves"), Act::Moves),
];

/// To walk through a list with, and to leave it.
pub(super) const LIST: &[Binding] = &[
    bind(UP, "Up", "the line above", None, Act::Up),
    bind(DOWN, "Down", "the line below", None, Act::Down),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first line", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last line", None, Act::Last),
    bind(&[Sign('q')], "q", "leave the program", Some("leave"), Act::Leave),
];

pub(super) const NEXT: Binding = bind(&[Sign('n')], "n", "the room's next step, as a form", None, Act::Next);
pub(super) const WARD: Binding =
    bind(&[Sign('w')], "w", "only the next ward's, then all again", Some("ward"), Act::Ward);

pub(super) const BOARD: &[Binding] = &[
    bind(ENTER, "Enter", "the room's next step, as a form; else the room", Some("next step"), Act::Go),
    bind(UP, "Up", "the room above", None, Act::Up),
    bind(DOWN, "Down", "the room below", None, Act::Down),
    bind(LEFT, "Left", "the room before", None, Act::Left),
    bind(RIGHT, "Right", "the room after", None, Act::Right),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first room", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last room", None, Act::Last),
    bind(&[Sign('w')], "w", "the next ward", None, Act::Ward),
    bind(&[Sign('v')], "v", "rooms as rows, or along the corridor", None, Act::Rows),
    bind(&[Sign('q')], "q", "leave the program", Some("leave"), Act::Leave),
];

pub(super) const BEDS: &[Binding] = &[
    bind(
        ENTER,
        "Enter",
        "note of this bed: occupied, empty, made; or list a ward's patients' beds",
        Some("this bed"),
        Act::Go,
    ),
    bind(&[Sign('c')], "c", "confirm who lies in the beds of the chosen ward", Some("confirm beds"), Act::ConfirmBeds),
    bind(LEFT, "Left", "the bed before", None, Act::Left),
    bind(RIGHT, "Right", "the bed after", None, Act::Right),
    bind(&[Sign('f')], "f", "list the beds with a patient, or only count them", None, Act::Filter),
    NEXT,
    WARD,
];

pub(super) const TASKS: &[Binding] = &[
    bind(ENTER, "Enter", "do the task: its form", Some("do it"), Act::Go),
    bind(&[Sign('t')], "t", "take the task: note that you have it", Some("take it"), Act::Take),
    bind(
        &[Sign('f')],
        "f",
        "show only your own tasks, then each role's, then all again",
        Some("show whose"),
        Act::Filter,
    ),
    WARD,
    bind(RIGHT, "Right", "open a folded line up: the rooms of a round", None, Act::Right),
    bind(LEFT, "Left", "fold it again", None, Act::Left),
];

pub(super) const BAGS: &[Binding] = &[
    bind(ENTER, "Enter", "the bag was laundered: its form; of a settled one the entry", Some("laundered"), Act::Go),
    bind(
        &[Sign('d')],
        "d",
        "it ended otherwise: destroyed, heated, inspected",
        Some("ended otherwise"),
        Act::Otherwise,
    ),
    NEXT,
    WARD,
];

pub(super) const LEDGER: &[Binding] = &[
    bind(ENTER, "Enter", "the entry in full", Some("in full"), Act::Go),
    bind(
        &[Sign('f')],
        "f",
        "show without the daily rounds, one's own, exceptions, or all",
        Some("show which"),
        Act::Filter,
    ),
    bind(&[Sign('g')], "g", "find an entry: number, room, initials or word", Some("find an entry"), Act::Find),
    WARD,
    bind(
        &[Sign('v')],
        "v",
        "void the entry: your own; the lead or infection prevention also others'",
        Some("void"),
        Act::Void,
    ),
];

pub(super) const RULES: &[Binding] = &[
    bind(ENTER, "Enter", "the rule in full, and where it is at work", Some("in full"), Act::Go),
    bind(
        &[Sign('f')],
        "f",
        "show the rules, the hospital's settings, the methods, or the cautions",
        Some("show which"),
        Act::Filter,
    ),
    bind(
        &[Sign('e')],
        "e",
        "change the hospital's own book: people, products, rooms, wards, zones, numbers",
        Some("change the book"),
        Act::Book,
    ),
];

pub(super) const ROOM: &[Binding] = &[
    bind(ENTER, "Enter", "do what the chosen line asks for", Some("do the chosen line"), Act::Go),
    NEXT,
    bind(&[Sign('m')], "m", "the other moves, numbered", Some("moves"), Act::Moves),
    bind(UP, "Up", "the line above", None, Act::Up),
    bind(DOWN, "Down", "the line below", None, Act::Down),
    bind(LEFT, "Left", "the room before, as one walks", None, Act::Left),
    bind(RIGHT, "Right", "the room after", None, Act::Right),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first line", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last line", None, Act::Last),
    bind(
        &[Code(KeyCode::Esc), Code(KeyCode::Backspace), Sign('q')],
        "Esc",
        "back to where you came from",
        Some("back"),
        Act::Back,
    ),
];

pub(super) const CHOICE: &[Binding] = &[
    bind(ENTER, "Enter", "choose this one", Some("choose"), Act::Go),
    bind(UP, "Up", "the one above", None, Act::Up),
    bind(DOWN, "Down", "the one below", None, Act::Down),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last", None, Act::Last),
    bind(ERASE, "Backspace", "take the last letter away; any letter narrows the list", None, Act::Erase),
    bind(ESC, "Esc", "back, nothing chosen", Some("back"), Act::Back),
    REDRAW,
    bind(HELP, "?", "this help", Some("help"), Act::Help),
];

pub(super) const LINE: &[Binding] = &[
    bind(ENTER, "Enter", "done", Some("done"), Act::Go),
    bind(ESC, "Esc", "back", Some("back"), Act::Back),
    bind(UP, "Up", "the match above", None, Act::Up),
    bind(DOWN, "Down", "the match below", None, Act::Down),
    bind(LEFT, "Left", "one character back", None, Act::Left),
    bind(RIGHT, "Right", "one character on", None, Act::Right),
    bind(ERASE, "Backspace", "delete the character before", None, Act::Erase),
    bind(&[Code(KeyCode::Delete)], "Delete", "delete the character after", None, Act::EraseAhead),
    bind(&[Control('u')], "Ctrl-U", "empty the line", None, Act::Empty),
    bind(&[Code(KeyCode::F(1))], "F1", "this help", None, Act::Help),
    REDRAW,
];

/// In force on every line of a form.
pub(super) const FORM: &[Binding] = &[
    bind(UP, "Up", "the line above", None, Act::Up),
    bind(DOWN, "Down", "the line below", None, Act::Down),
    bind(&[Code(KeyCode::Tab)], "Tab", "the next question", None, Act::NextField),
    bind(&[Code(KeyCode::BackTab)], "Shift-Tab", "the question before", None, Act::PreviousField),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::F(2))], "F2", "to the last line", None, Act::ToEnd),
    bind(ESC, "Esc", "close the form; what you typed is kept", Some("keep and close"), Act::Back),
    bind(&[Code(KeyCode::F(1))], "F1", "this help", None, Act::Help),
    REDRAW,
];

pub(super) const FORM_TEXT: &[Binding] = &[
    bind(ENTER, "Enter", "the next line", Some("next"), Act::Go),
    bind(LEFT, "Left", "one character back", None, Act::Left),
    bind(RIGHT, "Right", "one character on", None, Act::Right),
    bind(&[Code(KeyCode::Home)], "Home", "the start of the text", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the end of the text", None, Act::Last),
    bind(ERASE, "Backspace", "delete the character before", None, Act::Erase),
    bind(&[Code(KeyCode::Delete)], "Delete", "delete the character after", None, Act::EraseAhead),
    bind(&[Control('u')], "Ctrl-U", "empty the text", None, Act::Empty),
];

pub(super) const FORM_CHOICE: &[Binding] = &[
    bind(ENTER, "Enter", "the next line", Some("next"), Act::Go),
    bind(LEFT, "Left", "the answer before", None, Act::Left),
    bind(RIGHT, "Right", "the answer after", Some("other answer"), Act::Right),
    bind(SPACE, "Space", "the answer after", None, Act::Mark),
    bind(ERASE, "Backspace", "no answer", None, Act::Unmark),
    bind(&[Code(KeyCode::Home)], "Home", "to the first line", None, Act::First),
    bind(&[Sign('?')], "?", "this help", Some("help"), Act::Help),
    bind(&[Code(KeyCode::End)], "End", "to the last line", Some("to the end"), Act::ToEnd),
];

pub(super) const FORM_CHECK: &[Binding] = &[
    bind(SPACE, "Space", "mark with the first value and go on", Some("mark, go on"), Act::Mark),
    bind(LEFT, "Left", "the value before", None, Act::Left),
    bind(RIGHT, "Right", "the value after", None, Act::Right),
    bind(ERASE, "Backspace", "take the mark away", None, Act::Unmark),
    bind(&[Code(KeyCode::Home)], "Home", "to the first line", None, Act::First),
    bind(
        &[Sign('g')],
        "g",
        "the rest of a group of which one was looked at: nothing seen; of beds, as last noted",
        None,
        Act::GroupClean,
    ),
    bind(ENTER, "Enter", "the next line", None, Act::Go),
    bind(&[Sign('?')], "?", "this help", Some("help"), Act::Help),
    bind(&[Code(KeyCode::End)], "End", "to the last line", Some("to the end"), Act::ToEnd),
];

pub(super) const FORM_END: &[Binding] = &[
    bind(&[Code(KeyCode::Home)], "Home", "to the first line", None, Act::First),
    bind(ENTER, "Enter", "do the chosen line: note it; a digit opens what is missing", Some("note it"), Act::Go),
    bind(
        &[Sign('x')],
        "x",
        "throw away what was typed in this form, after a question",
        Some("throw away"),
        Act::Discard,
    ),
    bind(&[Sign('?')], "?", "this help", Some("help"), Act::Help),
];

pub(super) const CONFIRM: &[Binding] = &[
    bind(&[Sign('y')], "y", "yes, do it", Some("yes"), Act::Yes),
    bind(&[Sign('n'), Code(KeyCode::Enter), Code(KeyCode::Esc)], "n", "no, back", Some("no, back"), Act::No),
    REDRAW,
];

pub(super) const WALL: &[Binding] = &[
    bind(
        &[Code(KeyCode::Right), Code(KeyCode::Down), Code(KeyCode::PageDown), Sign(' ')],
        "Right",
        "the next page",
        None,
        Act::Down,
    ),
    bind(&[Code(KeyCode::Left), Code(KeyCode::Up), Code(KeyCode::PageUp)], "Left", "the page before", None, Act::Up),
    bind(&[Code(KeyCode::Esc), Sign('q')], "Esc", "back to the Board", Some("back"), Act::Back),
    REDRAW,
    bind(HELP, "?", "this help", Some("help"), Act::Help),
];

pub(super) const LEAVING: &[Binding] = &[
    bind(&[Sign('q'), Sign('y')], "q", "yes, leave the program", Some("yes, leave"), Act::Yes),
    bind(&[Sign('n'), Code(KeyCode::Enter), Code(KeyCode::Esc)], "n", "no, stay", Some("no, stay"), Act::No),
    REDRAW,
];

/// Something to read. Keys that work on every screen work there too.
pub(super) const PAGE: &[Binding] = &[
    bind(ENTER, "Enter", "the room of the line; else close the page", None, Act::Go),
    bind(UP, "Up", "one line up", None, Act::Up),
    bind(DOWN, "Down", "one line down", Some("more"), Act::Down),
    bind(SPACE, "Space", "the room that an entry is about", Some("the room"), Act::Look),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the beginning", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the end", None, Act::Last),
];

pub(super) const OF_PAGE: &[Binding] =
    &[bind(&[Code(KeyCode::Esc), Sign('q')], "Esc", "close the page", Some("close"), Act::Back)];

pub(super) const HELP_PAGE: &[Binding] = &[bind(
    &[Code(KeyCode::Esc), Sign('q'), Sign('?'), Code(KeyCode::F(1))],
    "Esc",
    "close the page",
    Some("close"),
    Act::Back,
)];
