//! The six states of a room: a headline computed from what is unsettled, never a stored thing that moves.

use std::fmt;

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum State {
    Clear,
    Suspect,
    Confirmed,
    TreatedWet,
    TreatedDry,
    Monitoring,
}

impl State {
    pub const ALL: [Self; 6] =
        [Self::Clear, Self::Suspect, Self::Confirmed, Self::TreatedWet, Self::TreatedDry, Self::Monitoring];

    pub fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Suspect => "suspect",
            Self::Confirmed => "confirmed",
            Self::TreatedWet => "treated-wet",
            Self::TreatedDry => "treated-dry",
            Self::Monitoring => "monitoring",
        }
    }

    /// The word with what it is about, where it could be misread. `closed`: its beds are, for more than their patients.
    pub fn headline_of(self, closed: bool) -> &'static str {
        match self {
            Self::Clear if closed => "clear: NOT OPEN",
            Self::Monitoring if closed => "monitoring: NOT OPEN",
            _ => self.headline(),
        }
    }

    pub fn who_may_enter_of(self, closed: bool) -> &'static str {
        match self {
            Self::Clear | Self::Monitoring if closed => "see why it is closed",
            _ => self.who_may_enter(),
        }
    }

    /// The same of a room that nothing else closes.
    pub fn headline(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Suspect => "suspect: bed bugs",
            Self::Confirmed => "confirmed: bed bugs",
            Self::TreatedWet => "treated-wet: DO NOT ENTER",
            Self::TreatedDry => "treated-dry: NOT OPEN",
            Self::Monitoring => "monitoring: bed-bug follow-up",
        }
    }

    /// Who may be inside.
    pub fn who_may_enter(self) -> &'static str {
        match self {
            Self::Clear | Self::Monitoring => "anyone",
            Self::Suspect => "the present patient; staff with care",
            Self::Confirmed => "response staff",
            Self::TreatedWet => "who sprays; after label time, who checks",
            Self::TreatedDry => "staff",
        }
    }
}

impl fmt::Display for State {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}
