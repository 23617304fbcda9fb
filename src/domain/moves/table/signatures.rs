//! Moves that settle what closed, by name. Each carries the newest entry that its signer was shown.

use super::{NO_NAMES, may, must};
use crate::domain::moves::{Asked, Circumstance, FieldKind as Kind, Move, MoveKind, On};

pub(super) const RETURN: Move = Move {
    verb: "return",
    title: "Return to service",
    about: "Sign that the treated room is dry, its linens laundered, its beds made, and take the door sign down. Where the \
            policy wants two people, the second one has checked the room first.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[],
};

pub(super) const SECOND_CHECK: Move = Move {
    verb: "second-check",
    title: "Second check before the return",
    about: "Where the policy wants two people: walk the room yourself, feel every zone and look at every bed, and say what \
            you found. Nothing that anybody else noted is shown here. What differs closes the room again.",
    kind: MoveKind::Signature,
    on: On::Room,
    fields: &[
        must("zones", "Zones", Kind::Feels, "What each zone felt like to you"),
        may("beds", "Beds", Kind::BedMakes, "Each bed as you found it: made with clean linens, or not"),
        may("note", "Note", Kind::Text, NO_NAMES),
    ],
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
        must(
            "found",
            "Anything found",
            Kind::Words(&["nothing", "something"]),
            "Any bug, sign or wet place? Feel what was noted as sprayed, gloved",
        ),
        must("note", "What was looked at", Kind::Text, NO_NAMES),
    ],
};

pub(super) const ATTEST: Move = Move {
    verb: "attest",
    title: "Attest a damaged entry",
    about: "Sign that you know what a damaged or missing entry said, from paper or from the people, and that it closes \
            nothing that is not noted anew. Where it is more than one room's, a second person has said so before.",
    kind: MoveKind::Signature,
    on: On::Place,
    fields: &[
        must("entry", "Entry", Kind::Entry, "Number of the damaged or missing entry"),
        must("words", "What it said", Kind::Text, "What the entry said, and how you know"),
    ],
};

pub(super) const SECOND_ATTEST: Move = Move {
    verb: "second-attest",
    title: "Second person on a damaged entry",
    about: "Say what a damaged or missing entry was, from paper or from the people, in your own words and before anybody \
            else signs for it. It opens nothing; the lead or infection prevention signs after you.",
    kind: MoveKind::Signature,
    on: On::Place,
    fields: &[
        must("entry", "Entry", Kind::Entry, "Number of the damaged or missing entry"),
        must("words", "What it said", Kind::Text, "What the entry said, and how you know"),
    ],
};

pub(super) const WARD_WALK: Move = Move {
    verb: "ward-walk",
    title: "Ward walked",
    about: "Sign that you walked the ward, and that no spray, bag or finding there is unrecorded. Where entries are missing: \
            first ask everybody who was on duty, note anew what happened (what every sheet says, after a downtime), and feel \
            every room after the label's time.",
    kind: MoveKind::Signature,
    on: On::Ward,
    fields: &[
        may(
            "words",
            "What was asked",
            Kind::Text,
            "Where entries are missing: who was on duty then, and what they say happened. Never name or describe a patient",
        )
        .asked(&[Asked::Where(Circumstance::OfGap)]),
        may(
            "wet",
            "Any other room wet",
            Kind::Words(&["none", "some"]),
            "Where entries are missing: was any room found wet beside those that the board shows as treated-wet?",
        )
            .asked(&[Asked::Where(Circumstance::OfGap)]),
        may("wet-rooms", "Rooms found wet", Kind::Rooms, "Each room that was found wet. It closes as sprayed, all of it")
            .asked(&[Asked::Where(Circumstance::OfGap), Asked::If { field: "wet", is: &["some"] }])
            .on_screen("Mark each room that was found wet"),
    ],
};
