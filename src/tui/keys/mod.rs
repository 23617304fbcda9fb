//! The keys: one table for each context, with what each key does in words.
//!
//! The hint bar, the help page and the tests are made from these tables; nothing else says what a key does.
//! A context with a text field does not see printable keys: the field owns them.

mod tables;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::base::Base;
use Key::{Code, Control, Sign};
use tables::{
    BAGS, BEDS, BOARD, CHOICE, CONFIRM, ELSEWHERE, FORM, FORM_CHECK, FORM_CHOICE, FORM_END, FORM_TEXT, HELP_KEY,
    HELP_PAGE, LEAVING, LEDGER, LINE, LIST, OF_PAGE, OF_ROOM, PAGE, ROOM, RULES, TASKS, WALL,
};

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
    /// The keys of a screen.
    Help,
    /// Something else to read: an entry, a rule, what a shift asks first.
    Page,
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
            Self::Help => "the keys of a screen",
            Self::Page => "a page",
        }
    }

    pub const ALL: [Self; 18] = [
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
        Self::Page,
    ];

    /// The context's own table, then those that it shares with its like.
    pub fn tables(self) -> &'static [&'static [Binding]] {
        match self {
            Self::Board => &[BOARD, OF_ROOM, ELSEWHERE, HELP_KEY],
            Self::Beds => &[BEDS, OF_ROOM, LIST, ELSEWHERE, HELP_KEY],
            Self::Tasks => &[TASKS, OF_ROOM, LIST, ELSEWHERE, HELP_KEY],
            Self::Bags => &[BAGS, OF_ROOM, LIST, ELSEWHERE, HELP_KEY],
            Self::Ledger => &[LEDGER, OF_ROOM, LIST, ELSEWHERE, HELP_KEY],
            Self::Rules => &[RULES, LIST, ELSEWHERE, HELP_KEY],
            Self::Room => &[ROOM, ELSEWHERE, HELP_KEY],
            Self::Choice => &[CHOICE],
            Self::Line => &[LINE],
            Self::FormText => &[FORM_TEXT, FORM],
            Self::FormChoice => &[FORM_CHOICE, FORM],
            Self::FormCheck => &[FORM_CHECK, FORM],
            Self::FormEnd => &[FORM_END, FORM],
            Self::Confirm => &[CONFIRM],
            Self::Leaving => &[LEAVING],
            Self::Wall => &[WALL],
            Self::Help => &[HELP_PAGE, PAGE, ELSEWHERE],
            Self::Page => &[OF_PAGE, PAGE, ELSEWHERE, HELP_KEY],
        }
    }

    pub fn bindings(self) -> impl Iterator<Item = &'static Binding> {
        self.tables().iter().copied().flatten()
    }

    /// Of a key that works on every screen and not here: why, and how to get where it works. None: it is no such key.
    pub(super) fn not_here(self, event: KeyEvent) -> Option<String> {
        let everywhere = Self::Board.tables().iter().skip(2).copied().flatten();
        let leaves = LIST.iter().filter(|it| it.act == Act::Leave);
        let pressed = pressed(event)?;
        let binding = everywhere.chain(leaves).find(|binding| binding.keys.contains(&pressed))?;
        let first = match self {
            Self::Confirm => "Answer the question first: y or n.",
            Self::Leaving => "Answer the question first: q leaves, n stays.",
            Self::FormText | Self::FormChoice | Self::FormCheck | Self::FormEnd => {
                "Esc closes the form first, and keeps what you typed."
            }
            Self::Choice => "Esc leaves the list first.",
            _ => "Esc goes back first.",
        };
        Some(format!("{} does nothing here. {first}", binding.shown))
    }

    /// Printable keys belong to the text field.
    pub(super) fn types(self) -> bool {
        matches!(self, Self::Line | Self::FormText)
    }

    /// What the key means here. None: nothing.
    pub fn act(self, event: KeyEvent) -> Option<Act> {
        let pressed = pressed(event)?;
        if let (Sign(_), KeyCode::Char(c), true) = (pressed, event.code, self.types()) {
            return (!c.is_control()).then_some(Act::Type(c));
        }
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

/// The key as the tables name it; None for what they name no key of.
fn pressed(event: KeyEvent) -> Option<Key> {
    let held = event.modifiers & (KeyModifiers::CONTROL | KeyModifiers::ALT);
    Some(match event.code {
        KeyCode::Char(c) if held == KeyModifiers::CONTROL => Control(c.to_ascii_lowercase()),
        KeyCode::Char(_) if !held.is_empty() => return None,
        KeyCode::Char(c) => Sign(c.to_ascii_lowercase()),
        code => Code(code),
    })
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
