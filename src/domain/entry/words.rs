//! What is answered with one word of several: the word that is typed and filed, and the one that stands on screen.

/// A sign of bed bugs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Sign {
    LiveAdult,
    LiveNymph,
    Eggs,
    CastSkin,
    DarkSpots,
    BloodSpots,
    DeadInsect,
    ReportedBites,
}

/// Yes, no, or nobody said. Unknown counts as the unsafe one of the two.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Known {
    Yes,
    No,
    #[default]
    Unknown,
}

/// Which of two terminals' clocks was wrong: of the one that notes it, or of the other.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WhichClock {
    This,
    Other,
}

/// What became of a part of a bed that something else took the place of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OldPart {
    /// It is no more.
    Destroyed,
    /// It goes on under its tag.
    Kept,
}

/// What nobody finds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lost {
    /// A thing, or a part of something, under its tag.
    Thing,
    Bag,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Depth {
    /// Bed seams, head end, linens, chair: at the linen change. Settles nothing.
    Daily,
    /// Every zone of the room.
    Full,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum InspectionMethod {
    /// By eye and hand.
    Visual,
    /// Interceptor traps under the legs, read at the end of a period.
    Traps,
    Dog,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Specimen {
    BedBug,
    SomethingElse,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Purpose {
    /// No sign was seen: every usual hiding place is owed.
    Preventive,
    /// Insects first, then suspect zones, then every other inspected zone.
    Infested,
    /// Only the scope that it declares is owed.
    ReApplication,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Feel {
    Dry,
    Damp,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum PrepStep {
    SpecimenKept,
    LinensBagged,
    ClutterOut,
    InsectsVacuumed,
    DoorSignUp,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum OtherMethod {
    Vacuumed,
    Steamed,
    Heated,
    /// Taken apart as far as possible and looked at closely.
    Inspected,
}

/// How the air of a room moves while it dries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Ventilation {
    Off,
    On,
    /// Ventilation on, and a fan aimed at what is wet.
    Fan,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Window {
    Open,
    Closed,
}

/// Where a patient went.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Went {
    /// To a bed or room of the book.
    Bed,
    /// Out of the hospital.
    Home,
    /// To a place that the book does not have: a theatre, an imaging room.
    Elsewhere,
    /// Nobody said.
    Unknown,
}

macro_rules! words {
    ($type:ident { $($variant:ident => $word:literal, $title:literal;)+ }) => {
        impl $type {
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// As it is typed and filed.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
            /// As it stands on screen.
            pub fn title(self) -> &'static str {
                match self { $(Self::$variant => $title),+ }
            }
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|it| it.word().eq_ignore_ascii_case(word.trim()))
            }
        }
    };
}

words!(Sign {
    LiveAdult => "live-adult", "live adult";
    LiveNymph => "live-nymph", "live nymph";
    Eggs => "eggs", "eggs";
    CastSkin => "cast-skin", "cast skin";
    DarkSpots => "dark-spots", "dark spots";
    BloodSpots => "blood-spots", "blood spots";
    DeadInsect => "dead-insect", "dead insect";
    ReportedBites => "reported-bites", "reported bites";
});
words!(Known { Yes => "yes", "yes"; No => "no", "no"; Unknown => "unknown", "unknown"; });
words!(Depth { Daily => "daily", "daily look"; Full => "full", "full inspection"; });
words!(InspectionMethod { Visual => "visual", "by eye"; Traps => "traps", "interceptor traps"; Dog => "dog", "trained dog"; });
words!(Specimen { BedBug => "bed-bug", "bed bug"; SomethingElse => "something-else", "something else"; });
words!(Purpose {
    Preventive => "preventive", "preventive";
    Infested => "infested", "infested room";
    ReApplication => "re-application", "re-application";
});
words!(Went {
    Bed => "bed", "to a bed or room";
    Home => "home", "home, or out of the hospital";
    Elsewhere => "elsewhere", "to a place outside the list of rooms";
    Unknown => "unknown", "not known where to";
});
words!(Feel { Dry => "dry", "dry"; Damp => "damp", "damp"; });
words!(PrepStep {
    SpecimenKept => "specimen-kept", "specimen kept";
    LinensBagged => "linens-bagged", "linens stripped and sealed in bags inside the room";
    ClutterOut => "clutter-out", "clutter sealed in bags, and out";
    InsectsVacuumed => "insects-vacuumed", "bugs and eggs vacuumed";
    DoorSignUp => "door-sign-up", "door sign up";
});
words!(OtherMethod {
    Vacuumed => "vacuumed", "vacuumed";
    Steamed => "steamed", "steamed";
    Heated => "heated", "heated";
    Inspected => "inspected", "inspected closely";
});
words!(Ventilation { Off => "off", "ventilation off"; On => "on", "ventilation on"; Fan => "fan", "a fan on it"; });
words!(WhichClock { This => "this", "this terminal's"; Other => "other", "the other one's"; });
words!(Lost { Thing => "thing", "thing"; Bag => "bag", "bag"; });
words!(OldPart { Destroyed => "destroyed", "destroyed"; Kept => "kept", "kept under its tag"; });
words!(Window { Open => "open", "window open"; Closed => "closed", "window closed"; });

impl Sign {
    /// Alone enough to confirm, if seen by a trained person.
    pub fn confirms(self) -> bool {
        matches!(self, Self::LiveAdult | Self::LiveNymph | Self::Eggs)
    }

    /// Something that was there to be seen. Reported bites are not, and open no case.
    pub fn is_physical(self) -> bool {
        self != Self::ReportedBites
    }
}
