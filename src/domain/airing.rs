//! Whether a room was aired otherwise while it dried than its spray says. No rule reads it: such a drying teaches nothing of an
//! estimate that was made for other air.

/// What was changed since the spray, or since the room was last felt.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum AirChange {
    Unchanged,
    FanBrought,
    WindowOpened,
    /// A window closed, ventilation turned off, heating, a dehumidifier.
    Other,
}

impl AirChange {
    pub const ALL: &'static [Self] = &[Self::Unchanged, Self::FanBrought, Self::WindowOpened, Self::Other];

    /// As it is typed and filed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unchanged => "no",
            Self::FanBrought => "fan-brought",
            Self::WindowOpened => "window-opened",
            Self::Other => "other",
        }
    }

    /// As it stands on screen.
    pub fn title(self) -> &'static str {
        match self {
            Self::Unchanged => "aired as before",
            Self::FanBrought => "a fan brought since",
            Self::WindowOpened => "a window opened since",
            Self::Other => "aired otherwise since",
        }
    }

    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|it| it.word().eq_ignore_ascii_case(word.trim()))
    }
}
