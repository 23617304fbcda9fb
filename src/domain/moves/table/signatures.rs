//! Moves that settle what closed, by name. Each carries the newest entry that its signer was shown.

use super::{NO_NAMES, may, must};
use crate::domain::moves::{Asked, Circumstance, FieldKind as Kind, Move, MoveKind, On};

pub(super) const RETURN: Move = Move {
    verb: "return",
    title: "Return to service",
    about: "Sign that the treated room is dry, its linens laundered, its beds made, and take the door sign down.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[may(
        "second",
        "Second signature",
        Kind::Person,
        "Where the policy wants one: the second person's initials",
    )
    .asked(&[Asked::Where(Circumstance::SecondSignature)])],
};

pub(super) const CLEAR: Move = Move {
    verb: "clear",
    title: "Clear",
    about: "Sign that monitoring ended: enough days, and enough negative checks, since the last evidence and spray.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[],
};

pub(super) const NOTHING_APPLIED: Move = Move {
    verb: "nothing-applied",
    title: "Nothing was applied",
    about: "Sign that a preparation ended without anything being applied in the room.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[must("reason", "Reason", Kind::Text, "Why nothing was applied")],
};

pub(super) const IN_SERVICE: Move = Move {
    verb: "in-service",
    title: "End of out of service",
    about: "End one closing for another reason than bed bugs. It settles nothing else.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[must("closing", "Closing entry", Kind::Entry, "Number of the out-of-service entry that ends")],
};

pub(super) const LOOK: Move = Move {
    verb: "look",
    title: "Second look after a void",
    about: "Sign that you looked in the room after an entry that closed it was voided, and found that it may open. \
            Neither the one who voided nor the one who noted may.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[
        must("void", "Void", Kind::Entry, "Number of the void's entry"),
        must("note", "What was found", Kind::Text, NO_NAMES),
    ],
};

pub(super) const ATTEST: Move = Move {
    verb: "attest",
    title: "Attest a damaged line",
    about: "Sign that you know what a damaged or missing line said, from paper or from the people, and that it closes \
            nothing that is not noted anew.",
    kind: MoveKind::Signature,
    on: On::Place,
    fields: &[
        must("line", "Line", Kind::Entry, "Number of the damaged or missing line"),
        must("words", "What it said", Kind::Text, "What the line said, and how you know"),
        may("second", "Second signature", Kind::Person, "Needed where the line is not one room's"),
    ],
};

pub(super) const WARD_WALK: Move = Move {
    verb: "ward-walk",
    title: "Ward walked",
    about: "Sign that you walked the ward, and that no spray, bag or finding there is unrecorded.",
    kind: MoveKind::Signature,
    on: On::Ward,
    fields: &[],
};
