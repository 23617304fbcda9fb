//! Moves that set how the hospital is laid out, who works there, and its numbers. Fields not given stay as they are;
//! `none` takes an optional one away.

use super::{SELDOM, may, must};
use crate::domain::moves::{FieldKind as Kind, Move, MoveKind, On};

const fn setting(
    verb: &'static str,
    title: &'static str,
    on: On,
    fields: &'static [crate::domain::moves::Field],
) -> Move {
    let about = "A setting, by the lead or infection prevention, in force from its noting. Fields not given stay as they \
                 are; `none` takes an optional one away. Beds that it would open stay closed until the lead signs for them.";
    Move { verb, title, about, kind: MoveKind::Setting, on, fields }
}

pub(super) const SET_HOSPITAL: Move =
    setting("set-hospital", "Hospital", On::Hospital, &[must("name", "Name", Kind::Text, "The hospital's name")]);

pub(super) const SET_WARD: Move = setting(
    "set-ward",
    "Ward",
    On::Named("WARD"),
    &[
        must("name", "Name", Kind::Text, "The ward's name"),
        must("floor", "Floor", Kind::Whole, "Storeys above the entrance floor; basements are negative"),
    ],
);

pub(super) const SET_ROOM: Move = setting(
    "set-room",
    "Room",
    On::Named("ROOM"),
    &[
        may("name", "Name", Kind::Text, "The room's name, or `none`"),
        must("ward", "Ward", Kind::Ward, "Code of its ward"),
        must("kind", "Kind", Kind::Text, "Kind of room, which names its zone set: patient-room, bathroom …"),
        must("order", "Order", Kind::Count, "Position along the walk through the ward, from 1"),
        may("beds", "Beds", Kind::BedPlans, "Its beds, each as CODE or CODE:tag;tag, or `none`"),
        may("neighbours", "Neighbours", Kind::Neighbours, "left, right, opposite, above, below =ROOM, or `none`"),
        may("serves", "Serves", Kind::Rooms, "Of a shared space: the rooms that it serves, or `none`"),
        may(
            "floor-area",
            "Floor, m²",
            Kind::SquareMetres,
            "Area of its floor, for the drying estimate alone, or `none`: then that of its kind is taken",
        ),
    ],
);

pub(super) const SET_ZONES: Move = setting(
    "set-zones",
    "Zones of a kind of room",
    On::Named("KIND"),
    &[must(
        "zones",
        "Zones",
        Kind::ZonePlans,
        "Every zone in walking order, each as `PART;name;GROUP;TREATMENT;tags;caution`. GROUP is bed, seating, storage or \
         room-edges; TREATMENT is spray, other-method or inspect-only; tags, with + between them, are per-bed, soft-seat, \
         mattress, daily, hiding-place, critical",
    )],
);

pub(super) const SET_PERSON: Move = Move {
    verb: "set-person",
    title: "Person, or acting lead",
    about: "Set who a person is here, or appoint an acting lead from one time until another, also long before. By the lead \
            or infection prevention, in force from its noting. Fields not given stay as they are; `none` takes an optional \
            one away.",
    kind: MoveKind::Setting,
    on: On::Named("INITIALS"),
    fields: &[
        must("name", "Name", Kind::Text, "The person's name"),
        must(
            "role",
            "Role",
            Kind::Words(&[
                "charge-nurse",
                "lead",
                "housekeeper",
                "laundry",
                "technician",
                "infection-prevention",
                "reader",
            ]),
            "What the person does here",
        ),
        may("trained-to-inspect", "Trained to inspect", Kind::YesNo, "Trained to recognise bed bugs and their signs"),
        may("trained-to-apply", "Trained to apply", Kind::YesNo, "Trained to apply a pesticide"),
        may("certificate", "Certificate", Kind::Text, "The applicator's certificate number, or `none`"),
        may(
            "acting-lead-from",
            "Acting lead from",
            Kind::TimeAhead,
            "Stands in for the lead from this time, or `none`",
        ),
        may("acting-lead-until", "Acting lead until", Kind::TimeAhead, "Stands in for the lead until this time"),
        may("left", "Left", Kind::YesNo, "Off the roster: kept for the record, may note nothing"),
        may(
            "same-person",
            "Same person, new name",
            Kind::YesNo,
            "Where entries stand under these initials and the name is another: yes, it is the same person. Somebody else gets \
             other initials",
        )
        .asked(SELDOM),
    ],
};

pub(super) const SET_PRODUCT: Move = setting(
    "set-product",
    "Product",
    On::Named("PRODUCT"),
    &[
        must("name", "Name", Kind::Text, "The product's name"),
        may("registration", "Registration", Kind::Text, "Registration number as printed, or `none`"),
        may("active-ingredient", "Active ingredient", Kind::Text, "As printed, or `none`"),
        may("percent", "Percent", Kind::Text, "As printed, for example `0.5 %`, or `none`"),
        may(
            "label-words",
            "Label's words on re-entry",
            Kind::Text,
            "What the label says of re-entry, in its own words. Without them no dry check counts",
        ),
        may(
            "label-minutes",
            "Label's minutes",
            Kind::Minutes,
            "The label's minutes before re-entry, if it gives any, or `none`",
        ),
        may(
            "allowed-on",
            "Allowed on",
            Kind::Parts,
            "Zones on which the label allows it, by the hospital's own words for them (chair, mattress …), or `none` for not stated",
        ),
        may("withdrawn", "Withdrawn", Kind::YesNo, "No longer used: offered in no form, kept for the record"),
    ],
);

pub(super) const SET_POLICY: Move = setting(
    "set-policy",
    "Policy",
    On::Named("SETTING"),
    &[must(
        "value",
        "Value",
        Kind::Text,
        "The new value; `dryhold rules --settings` lists every setting and its bounds",
    )
    .on_screen("The new value. The Rules screen lists every setting with its bounds")],
);
