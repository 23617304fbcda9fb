//! The keys: one table for each context, with what each key does in words.
//!
//! The hint bar, the help page and the tests are made from these tables; nothing else says what a key does.
//! A context with a text field does not see printable keys: the field owns them.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::base::Base;

/// Where a key is pressed. One table each.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Context {
    Board,
    Beds,
    Tasks,
    Bags,
    Ledger,
    Rules,
    Room,
    /// A list from which one thing is chosen: the moves, the people.
    Choice,
    /// The line in which a room's code or a PIN is typed.
    Line,
    /// A form, on a field of text.
    FormText,
    /// A form, on a field with a few answers.
    FormChoice,
    /// A form, on one line of a checklist.
    FormCheck,
    /// A form, on its last line.
    FormEnd,
    Confirm,
    Leaving,
    Wall,
    Help,
}

/// What a key means, before it is known on what.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Act {
    Up,
    Down,
    Left,
    Right,
    PageUp,
    PageDown,
    First,
    Last,
    /// Enter.
    Go,
    /// Esc: back one step.
    Back,
    /// The chosen room's next step.
    Next,
    /// The other moves, numbered.
    Moves,
    Jump,
    Help,
    Turn(Base),
    NextScreen,
    PreviousScreen,
    /// Space: the chosen line's room.
    Look,
    /// A bug or a sign of one was seen here.
    Seen,
    /// One's own last entry was wrong.
    Undo,
    /// Who has the chosen task.
    Take,
    /// What was typed in the form is not wanted any more.
    Discard,
    /// What a shift asks first.
    Shift,
    /// The hospital's own book.
    Book,
    /// Who lies in the beds of a ward, all at once.
    ConfirmBeds,
    /// The chosen bag ended otherwise than by the laundry.
    Otherwise,
    /// What is listed: the next of a few ways.
    Filter,
    /// An entry of the Ledger, by what is typed.
    Find,
    /// The chosen entry was wrong.
    Void,
    SignIn,
    SignOut,
    Rows,
    Ward,
    Leave,
    Redraw,
    Mark,
    Unmark,
    NextField,
    PreviousField,
    GroupClean,
    ToEnd,
    Yes,
    No,
    /// A digit, 1 to 9.
    Number(u8),
    /// A printable key for the text field.
    Type(char),
    Erase,
    EraseAhead,
    /// The whole text goes.
    Empty,
    /// On a checklist: a letter that is no command there, as of somebody who types a text.
    Stray,
}

/// One line of a table: which keys, what they do, and how the hint bar names them (None: only in the help).
pub struct Binding {
    pub keys: &'static [Key],
    pub shown: &'static str,
    pub does: &'static str,
    pub hint: Option<&'static str>,
    pub act: Act,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Key {
    /// A letter or sign; both cases of a letter.
    Sign(char),
    Code(KeyCode),
    Control(char),
}

const fn bind(
    keys: &'static [Key],
    shown: &'static str,
    does: &'static str,
    hint: Option<&'static str>,
    act: Act,
) -> Binding {
    Binding { keys, shown, does, hint, act }
}

use Key::{Code, Control, Sign};

const UP: &[Key] = &[Code(KeyCode::Up)];
const DOWN: &[Key] = &[Code(KeyCode::Down)];
const LEFT: &[Key] = &[Code(KeyCode::Left)];
const RIGHT: &[Key] = &[Code(KeyCode::Right)];
const ENTER: &[Key] = &[Code(KeyCode::Enter)];
const ESC: &[Key] = &[Code(KeyCode::Esc)];
const SPACE: &[Key] = &[Sign(' ')];
const HELP: &[Key] = &[Sign('?'), Code(KeyCode::F(1))];
const ERASE: &[Key] = &[Code(KeyCode::Backspace)];

/// In force on every screen that is not covered by something else.
const SCREENS: &[Binding] = &[
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
    bind(HELP, "?", "this help", Some("help"), Act::Help),
    bind(&[Control('l')], "Ctrl-L", "draw the screen again", None, Act::Redraw),
];

/// About the room of the chosen line.
const OF_ROOM: &[Binding] = &[
    bind(SPACE, "Space", "look at the room: why it is as it is", Some("the room"), Act::Look),
    bind(&[Sign('m')], "m", "the other moves of the room, numbered", Some("moves"), Act::Moves),
];

/// To walk through a list with, and to leave it.
const LIST: &[Binding] = &[
    bind(UP, "Up", "the line above", None, Act::Up),
    bind(DOWN, "Down", "the line below", None, Act::Down),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first line", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last line", None, Act::Last),
    bind(&[Sign('q')], "q", "leave the program", Some("leave"), Act::Leave),
];

const NEXT: Binding = bind(&[Sign('n')], "n", "the room's next step, as a form", None, Act::Next);
const WARD: Binding = bind(&[Sign('w')], "w", "only the next ward's, then all again", Some("ward"), Act::Ward);

const BOARD: &[Binding] = &[
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

const BEDS: &[Binding] = &[
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

const TASKS: &[Binding] = &[
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

const BAGS: &[Binding] = &[
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

const LEDGER: &[Binding] = &[
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

const RULES: &[Binding] = &[
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

const ROOM: &[Binding] = &[
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

const CHOICE: &[Binding] = &[
    bind(ENTER, "Enter", "choose this one", Some("choose"), Act::Go),
    bind(UP, "Up", "the one above", None, Act::Up),
    bind(DOWN, "Down", "the one below", None, Act::Down),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::Home)], "Home", "the first", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the last", None, Act::Last),
    bind(ERASE, "Backspace", "take the last letter away; any letter narrows the list", None, Act::Erase),
    bind(ESC, "Esc", "back, nothing chosen", Some("back"), Act::Back),
    bind(HELP, "?", "this help", Some("help"), Act::Help),
];

const LINE: &[Binding] = &[
    bind(ENTER, "Enter", "done", Some("done"), Act::Go),
    bind(ESC, "Esc", "back", Some("back"), Act::Back),
    bind(UP, "Up", "the match above", None, Act::Up),
    bind(DOWN, "Down", "the match below", None, Act::Down),
    bind(LEFT, "Left", "one character back", None, Act::Left),
    bind(RIGHT, "Right", "one character on", None, Act::Right),
    bind(ERASE, "Backspace", "delete the character before", None, Act::Erase),
    bind(&[Code(KeyCode::Delete)], "Delete", "delete the character after", None, Act::EraseAhead),
    bind(&[Control('u')], "Ctrl-U", "empty the line", None, Act::Empty),
];

/// In force on every line of a form.
const FORM: &[Binding] = &[
    bind(UP, "Up", "the line above", None, Act::Up),
    bind(DOWN, "Down", "the line below", None, Act::Down),
    bind(&[Code(KeyCode::Tab)], "Tab", "the next question", None, Act::NextField),
    bind(&[Code(KeyCode::BackTab)], "Shift-Tab", "the question before", None, Act::PreviousField),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
    bind(&[Code(KeyCode::F(2))], "F2", "to the last line", None, Act::ToEnd),
    bind(ESC, "Esc", "close the form; what you typed is kept", Some("keep and close"), Act::Back),
    bind(&[Code(KeyCode::F(1))], "F1", "this help", None, Act::Help),
];

const FORM_TEXT: &[Binding] = &[
    bind(ENTER, "Enter", "the next line", Some("next"), Act::Go),
    bind(LEFT, "Left", "one character back", None, Act::Left),
    bind(RIGHT, "Right", "one character on", None, Act::Right),
    bind(&[Code(KeyCode::Home)], "Home", "the start of the text", None, Act::First),
    bind(&[Code(KeyCode::End)], "End", "the end of the text", None, Act::Last),
    bind(ERASE, "Backspace", "delete the character before", None, Act::Erase),
    bind(&[Code(KeyCode::Delete)], "Delete", "delete the character after", None, Act::EraseAhead),
    bind(&[Control('u')], "Ctrl-U", "empty the text", None, Act::Empty),
];

const FORM_CHOICE: &[Binding] = &[
    bind(ENTER, "Enter", "the next line", Some("next"), Act::Go),
    bind(LEFT, "Left", "the answer before", None, Act::Left),
    bind(RIGHT, "Right", "the answer after", Some("other answer"), Act::Right),
    bind(SPACE, "Space", "the answer after", None, Act::Mark),
    bind(ERASE, "Backspace", "no answer", None, Act::Unmark),
    bind(&[Code(KeyCode::Home)], "Home", "to the first line", None, Act::First),
    bind(&[Sign('?')], "?", "this help", Some("help"), Act::Help),
    bind(&[Code(KeyCode::End)], "End", "to the last line", Some("to the end"), Act::ToEnd),
];

const FORM_CHECK: &[Binding] = &[
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

const FORM_END: &[Binding] = &[
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

const CONFIRM: &[Binding] = &[
    bind(&[Sign('y')], "y", "yes, do it", Some("yes"), Act::Yes),
    bind(&[Sign('n'), Code(KeyCode::Enter), Code(KeyCode::Esc)], "n", "no, back", Some("no, back"), Act::No),
];

const WALL: &[Binding] = &[
    bind(
        &[Code(KeyCode::Right), Code(KeyCode::Down), Code(KeyCode::PageDown), Sign(' ')],
        "Right",
        "the next page",
        None,
        Act::Down,
    ),
    bind(&[Code(KeyCode::Left), Code(KeyCode::Up), Code(KeyCode::PageUp)], "Left", "the page before", None, Act::Up),
    bind(&[Code(KeyCode::Esc), Sign('q')], "Esc", "back to the Board", Some("back"), Act::Back),
    bind(HELP, "?", "this help", Some("help"), Act::Help),
];

const LEAVING: &[Binding] = &[
    bind(&[Sign('q'), Sign('y')], "q", "yes, leave the program", Some("yes, leave"), Act::Yes),
    bind(&[Sign('n'), Code(KeyCode::Enter), Code(KeyCode::Esc)], "n", "no, stay", Some("no, stay"), Act::No),
];

const HELP_PAGE: &[Binding] = &[
    bind(&[Code(KeyCode::Esc), Sign('q'), Sign('?')], "Esc", "close the page", Some("close"), Act::Back),
    bind(ENTER, "Enter", "the room of the line; else close the page", None, Act::Go),
    bind(UP, "Up", "one line up", None, Act::Up),
    bind(DOWN, "Down", "one line down", Some("more"), Act::Down),
    bind(SPACE, "Space", "the room that an entry is about", Some("the room"), Act::Look),
    bind(&[Code(KeyCode::PageUp)], "PgUp", "the page before", None, Act::PageUp),
    bind(&[Code(KeyCode::PageDown)], "PgDn", "the page after", None, Act::PageDown),
];

impl Context {
    /// As the help names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Board => "the Board",
            Self::Beds => "the Beds",
            Self::Tasks => "the Tasks",
            Self::Bags => "the Bags",
            Self::Ledger => "the Ledger",
            Self::Rules => "the Rules",
            Self::Room => "the Room",
            Self::Choice => "a list",
            Self::Line => "a line to type in",
            Self::FormText => "a form, on a text",
            Self::FormChoice => "a form, on a question with answers",
            Self::FormCheck => "a form, on a checklist",
            Self::FormEnd => "a form, at its end",
            Self::Confirm => "a question",
            Self::Leaving => "the question whether to leave",
            Self::Wall => "the page for a wall",
            Self::Help => "a page",
        }
    }

    pub const ALL: [Self; 17] = [
        Self::Board,
        Self::Beds,
        Self::Tasks,
        Self::Bags,
        Self::Ledger,
        Self::Rules,
        Self::Room,
        Self::Choice,
        Self::Line,
        Self::FormText,
        Self::FormChoice,
        Self::FormCheck,
        Self::FormEnd,
        Self::Confirm,
        Self::Leaving,
        Self::Wall,
        Self::Help,
    ];

    /// The context's own table, then those that it shares with its like.
    pub fn tables(self) -> &'static [&'static [Binding]] {
        match self {
            Self::Board => &[BOARD, OF_ROOM, SCREENS],
            Self::Beds => &[BEDS, OF_ROOM, LIST, SCREENS],
            Self::Tasks => &[TASKS, OF_ROOM, LIST, SCREENS],
            Self::Bags => &[BAGS, OF_ROOM, LIST, SCREENS],
            Self::Ledger => &[LEDGER, OF_ROOM, LIST, SCREENS],
            Self::Rules => &[RULES, LIST, SCREENS],
            Self::Room => &[ROOM, SCREENS],
            Self::Choice => &[CHOICE],
            Self::Line => &[LINE],
            Self::FormText => &[FORM_TEXT, FORM],
            Self::FormChoice => &[FORM_CHOICE, FORM],
            Self::FormCheck => &[FORM_CHECK, FORM],
            Self::FormEnd => &[FORM_END, FORM],
            Self::Confirm => &[CONFIRM],
            Self::Leaving => &[LEAVING],
            Self::Wall => &[WALL],
            Self::Help => &[HELP_PAGE],
        }
    }

    pub fn bindings(self) -> impl Iterator<Item = &'static Binding> {
        self.tables().iter().copied().flatten()
    }

    /// Printable keys belong to the text field.
    pub(super) fn types(self) -> bool {
        matches!(self, Self::Line | Self::FormText)
    }

    /// What the key means here. None: nothing.
    pub fn act(self, event: KeyEvent) -> Option<Act> {
        let held = event.modifiers & (KeyModifiers::CONTROL | KeyModifiers::ALT);
        let pressed = match event.code {
            KeyCode::Char(c) if held == KeyModifiers::CONTROL => Control(c.to_ascii_lowercase()),
            KeyCode::Char(_) if !held.is_empty() => return None,
            KeyCode::Char(c) if self.types() => return (!c.is_control()).then_some(Act::Type(c)),
            KeyCode::Char(c) => Sign(c.to_ascii_lowercase()),
            code => Code(code),
        };
        let bound = self.bindings().find(|binding| binding.keys.contains(&pressed)).map(|binding| binding.act);
        let digit = match pressed {
            Sign(c @ '1'..='9')
                if matches!(self, Self::Choice | Self::FormChoice | Self::FormCheck | Self::FormEnd) =>
            {
                c.to_digit(10).and_then(|digit| u8::try_from(digit).ok()).map(Act::Number)
            }
            Sign('y') if self == Self::FormChoice => Some(Act::Yes),
            Sign('n') if self == Self::FormChoice => Some(Act::No),
            // The next answer that begins so.
            Sign(c) if self == Self::FormChoice && c.is_alphabetic() => Some(Act::Type(c)),
            Sign(_) if self == Self::FormCheck => Some(Act::Stray),
            // In a list letters narrow it.
            Sign(c) if self == Self::Choice && (c.is_alphanumeric() || c == ' ') => Some(Act::Type(c)),
            _ => None,
        };
        bound.or(digit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_means_two_things() {
        for context in Context::ALL {
            let mut seen: Vec<Key> = vec![];
            for binding in context.bindings() {
                for key in binding.keys {
                    assert!(!seen.contains(key), "{context:?}: {key:?} twice");
                    seen.push(*key);
                }
            }
        }
    }

    #[test]
    fn no_key_is_one_that_terminals_keep_for_themselves() {
        for context in Context::ALL {
            for key in context.bindings().flat_map(|binding| binding.keys) {
                if let Control(c) = key {
                    assert!(matches!(c, 'l' | 'u'), "{context:?}: a control key may only repeat what another key does");
                }
            }
            let only_function_keys =
                |binding: &Binding| binding.keys.iter().all(|key| matches!(key, Code(KeyCode::F(_))));
            for binding in context.bindings().filter(|binding| only_function_keys(binding)) {
                assert!(
                    matches!(binding.act, Act::Help | Act::ToEnd),
                    "{context:?}: {} has no other key",
                    binding.shown
                );
            }
        }
    }

    #[test]
    fn both_cases_of_a_letter_work_and_a_text_field_owns_its_letters() {
        let press = |c| KeyEvent::new(KeyCode::Char(c), KeyModifiers::NONE);
        assert_eq!(Context::Board.act(press('M')), Some(Act::Moves));
        assert_eq!(Context::Board.act(press('m')), Some(Act::Moves));
        assert_eq!(Context::FormText.act(press('q')), Some(Act::Type('q')));
        assert_eq!(Context::FormText.act(press('?')), Some(Act::Type('?')));
        assert_eq!(Context::Choice.act(press('3')), Some(Act::Number(3)));
        assert_eq!(Context::FormCheck.act(press('p')), Some(Act::Stray), "a list is no text");
        assert_eq!(Context::Board.act(KeyEvent::new(KeyCode::Char('m'), KeyModifiers::ALT)), None);
    }

    #[test]
    fn every_context_says_how_to_get_out() {
        for context in Context::ALL {
            let out = |act| matches!(act, Act::Back | Act::Leave | Act::No);
            assert!(context.bindings().any(|binding| out(binding.act) && binding.hint.is_some()), "{context:?}");
        }
    }
}
