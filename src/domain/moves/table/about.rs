//! Moves about other entries, and about tasks.

use super::{NO_NAMES, SELDOM, SEVERAL_BEDS, may, must};
use crate::domain::moves::{Asked, Circumstance, FieldKind as Kind, Move, MoveKind, On, ZoneFilter};

pub(super) const ACCEPT: Move = Move {
    verb: "accept",
    title: "Take or give a task",
    about: "Tell everybody who has a task; noted again, somebody else has it. It reserves nothing, opens nothing and closes nothing.",
    kind: MoveKind::About,
    on: On::Room,
    fields: &[
        must("need", "Task", Kind::Text, "The task's need, as the task list names it"),
        must("cause", "Asked by entry", Kind::Entry, "Number of the entry that causes the task"),
        must("by", "Give the task to", Kind::Oneself, "Who has it; yourself where not said"),
    ],
};

pub(super) const COULD_NOT: Move = Move {
    verb: "could-not",
    title: "Could not be done",
    about: "Note that an inspection, a look or other work in a room could not be done, why, and when it is tried again. It \
            settles nothing and closes nothing: what was due stays due.",
    kind: MoveKind::About,
    on: On::Room,
    fields: &[
        must("why", "Why", Kind::Text, "Why it could not be done. Never name or describe a patient"),
        may("again", "Again at", Kind::TimeAhead, "When it is tried again, as HH:MM"),
    ],
};

pub(super) const HAND_OVER: Move = Move {
    verb: "hand-over",
    title: "Hand over to the next shift",
    about: "A sentence for the next shift, shown on its page for as long as a shift. It settles nothing and closes nothing: \
            what happened is noted by its own move.",
    kind: MoveKind::About,
    on: On::Place,
    fields: &[must("text", "To the next shift", Kind::Text, "One or two sentences. Never name or describe a patient")],
};

pub(super) const WHICH_LEDGER: Move = Move {
    verb: "which-ledger",
    title: "This file is the ledger",
    about: "Where another file of this ledger went further, which closes every bed: say that this one is the ledger, and the \
            other a copy that somebody tried something with. If the other one is the ledger, open that one instead; if what \
            it held is needed here, note a gap as well.",
    kind: MoveKind::About,
    on: On::Place,
    fields: &[must("words", "How you know", Kind::Text, "What the other file is, and how you know")],
};

pub(super) const PROMISE: Move = Move {
    verb: "promise",
    title: "Promise a bed",
    about: "Note that a bed is kept for somebody who is expected. It opens nothing: the bed still waits for all that closes it.",
    kind: MoveKind::About,
    on: On::Bed,
    fields: &[
        must("wanted", "Wanted at", Kind::TimeAhead, "When the bed is wanted"),
        may("beds", "Beds", Kind::Beds, "Beds of the room").asked(SEVERAL_BEDS).needed_where_asked(),
    ],
};

pub(super) const END_PROMISE: Move = Move {
    verb: "end-promise",
    title: "End a promise",
    about: "Note that a bed is kept for nobody any more. A promise also ends when the bed is noted as occupied.",
    kind: MoveKind::About,
    on: On::Bed,
    fields: &[may("beds", "Beds", Kind::Beds, "Beds of the room").asked(SEVERAL_BEDS).needed_where_asked()],
};

pub(super) const AMEND: Move = Move {
    verb: "amend",
    title: "Amend an entry",
    about: "Correct a field that no rule reads: a certificate number, a spelling. Anything else is voided and noted again.",
    kind: MoveKind::About,
    on: On::Place,
    fields: &[
        must("entry", "Entry", Kind::Entry, "Number of the entry"),
        must("field", "Field", Kind::Text, "Which field"),
        must("value", "Value", Kind::Text, "What it should say. Never name or describe a patient"),
    ],
};

pub(super) const VOID: Move = Move {
    verb: "void",
    title: "Void an entry",
    about: "Say that an entry was wrong, and why. Nothing is removed. Voiding what closed a room opens nothing until a \
            second person looked.",
    kind: MoveKind::About,
    on: On::Place,
    fields: &[
        must("entry", "Entry", Kind::Entry, "Number of the entry that was wrong"),
        must("why", "Why", Kind::Text, "What was wrong with it. Never name or describe a patient"),
        may("really-in", "Really in", Kind::Room, "Of a spray or a finding: the room where it really was. It closes")
            .asked(&[Asked::Where(Circumstance::OfSpray)]),
    ],
};

pub(super) const CLOCK: Move = Move {
    verb: "clock",
    title: "What time it is",
    about: "Where two terminals' clocks disagree, say what time it is by a clock on the wall, and which of the two was wrong. This \
            terminal stamps by the wall from then on. What the wrong one noted counts as late, or as early, as it may have been.",
    kind: MoveKind::About,
    on: On::Hospital,
    fields: &[
        must(
            "wrong",
            "Which was wrong",
            Kind::Words(&["this", "other"]),
            "Whose clock was wrong: this terminal's (this), or the other one's that is named in the question (other)",
        ),
        must(
            "wall",
            "By the wall",
            Kind::Text,
            "What time it is by a clock on the wall or a telephone, as HH:MM, or YYYY-MM-DD HH:MM",
        ),
        may("other", "Other terminal", Kind::Text, "Name of the other terminal, if it is not the one in the question")
            .asked(SELDOM),
    ],
};

pub(super) const WRONG_TIME: Move = Move {
    verb: "wrong-time",
    title: "Take the time of an entry out",
    about: "Say that the time of an entry is that of a wrong clock, so that nothing waits for it. By two people, the lead and another, \
            an entry each. What it said stays: it counts as late as it may have been by the entries around it.",
    kind: MoveKind::Signature,
    on: On::Place,
    fields: &[
        must("entry", "Entry", Kind::Entry, "Number of the entry whose time is wrong"),
        must(
            "words",
            "How you know",
            Kind::Text,
            "When it really was, and how you know. Never name or describe a patient",
        ),
    ],
};

pub(super) const CORRECT_SPRAY: Move = Move {
    verb: "correct-spray",
    title: "Less of a spray",
    about: "Lower what was noted of a spray by mistake: its end, the label's minutes, its zones. By two people, the lead and another, \
            an entry each: each reads it off the label or the slip and says the same. Until the second one nothing changes, and the \
            label never falls below the list's minutes. More of a spray is noted by completing it.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[
        must("spray", "Spray", Kind::Entry, "Number of the spray's entry"),
        may("finish", "Finished", Kind::Time, "When spraying really ended, if that was earlier"),
        may(
            "label-minutes",
            "Label's minutes",
            Kind::Minutes,
            "The label's minutes before re-entry, if they are fewer",
        ),
        may(
            "zones",
            "Zones sprayed",
            Kind::Zones(ZoneFilter::Sprayable),
            "Every zone that was sprayed, if it was not all of them",
        ),
        must(
            "words",
            "Read off what",
            Kind::Text,
            "The label, or which slip, and how you know. Never name or describe a patient",
        ),
    ],
};

pub(super) const WRITE_OFF: Move = Move {
    verb: "write-off",
    title: "Write off what nobody finds",
    about: "Give up a thing under its tag, or a bag, that nobody finds. By two people, the lead and infection prevention, an entry \
            each; a thing only after every ward was walked since anybody last told of it. The room no longer waits for it. Seen \
            again, a thing is wet, and a bag is not laundered.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[
        must("what", "What is lost", Kind::Words(&["thing", "bag"]), "A thing under its tag, or a bag"),
        must("tag", "Tag", Kind::Tag, "Its tag, as it was noted"),
        must(
            "reason",
            "Why",
            Kind::Text,
            "Where it was looked for, and why it is given up. Never name or describe a patient",
        ),
    ],
};

pub(super) const REPLACE_PART: Move = Move {
    verb: "replace-part",
    title: "Another part of a bed",
    about: "Say what took the place of a part of a bed that was destroyed, or that stays elsewhere: a new one, or what carries a tag \
            and stands in the room. The bed has that part from now on; under its tag the old one is as wet as it was.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[
        must("part", "Part", Kind::Text, "The part of the bed, as BED/part"),
        may(
            "by",
            "Replaced by",
            Kind::Tag,
            "Tag of what took its place, which stands in the room; left out, it is a new one",
        ),
        must("old", "The old part", Kind::Words(&["destroyed", "kept"]), "Destroyed, or kept elsewhere under its tag"),
        must("reason", "Why", Kind::Text, NO_NAMES),
    ],
};
