//! The weeks before today: daily looks, occupancy at each shift, three old cases, a preventive round, and what became of them.
//!
//! Rooms dry here as invented ones would: a little longer than the estimate says, each in its own way.

use super::people::{HELPER, KEEPER, LAUNDRY, LEAD, NURSE, PREVENTION, PRODUCT, TECHNICIAN};
use super::story::{DAY, HOUR, Step, Story, Which};
use crate::setup::RoomList;

/// Rooms that stood empty: room, from and until, in minutes before now.
const EMPTIED: [(&str, i64, i64); 16] = [
    ("3N-05", 34 * DAY, 32 * DAY),
    ("3N-06", 33 * DAY, 31 * DAY),
    ("3N-09", 31 * DAY, 29 * DAY),
    ("5N-03", 55 * DAY, 54 * DAY),
    ("4N-05", 40 * DAY, 39 * DAY),
    ("4N-05", 12 * DAY, 11 * DAY),
    ("4N-08", 18 * DAY, 17 * DAY),
    ("3N-10", 3 * DAY, 0),
    ("3N-07", 26 * HOUR, 0),
    ("3N-03", 220, 0),
    ("4N-11", 3 * DAY, DAY),
    ("4N-12", 3 * DAY, 0),
    ("5N-02", 6 * DAY, 0),
    ("5N-09", 4 * DAY, 40 * HOUR),
    ("5N-10", 4 * DAY, 0),
    ("5N-11", 4 * DAY, 0),
];

/// Beds that are always slept in or always free, so that the story of their room works out.
const SETTLED: [(&str, bool); 10] = [
    ("5N-03-A", true),
    ("4N-05-A", true),
    ("4N-05-B", true),
    ("4N-08-A", true),
    ("3N-03-A", true),
    ("3N-03-B", false),
    ("3N-12-A", true),
    ("3N-13-A", false),
    ("3N-13-B", false),
    ("4N-04-B", true),
];

pub(super) fn pass(story: &mut Story, rooms: &RoomList) {
    for (at, ward) in rooms.wards.iter().enumerate() {
        let of_ward: Vec<_> = rooms.rooms.iter().filter(|room| room.ward == ward.code).collect();
        let between_wards = at as i64 * 10;
        for day in 0..56 {
            let ago = day * DAY + 4 * HOUR + 20 + between_wards;
            let who = if (day + at as i64) % 2 == 0 { KEEPER } else { HELPER };
            let round = story.note(ago, who, "round", ward.code.as_str());
            for room in of_ward.iter().filter(|room| !is_shut(room.code.as_str(), ago)) {
                round.say("rooms", room.code.as_str());
            }
        }
        for shift in 0..112 {
            let ago = shift * 12 * HOUR + 5 * HOUR + between_wards;
            let step = story.note(ago, NURSE, "occupancy", ward.code.as_str());
            let beds = of_ward.iter().flat_map(|room| room.beds.iter().map(|bed| (room.code, bed.code)));
            for (at, (room, bed)) in beds.enumerate() {
                let is_occupied = is_occupied(at as i64, room.as_str(), bed.as_str(), shift, ago);
                step.say("beds", format!("{bed}={}", if is_occupied { "occupied" } else { "empty" }));
            }
        }
    }
    old_cases(story);
    preventive_round(story);
}

fn is_shut(room: &str, ago: i64) -> bool {
    EMPTIED.iter().any(|(shut, from, until)| *shut == room && ago <= *from && ago >= *until)
}

/// Patients come and go every few days; about three of four beds are slept in.
fn is_occupied(at: i64, room: &str, bed: &str, shift: i64, ago: i64) -> bool {
    if is_shut(room, ago) {
        return false;
    }
    let settled = SETTLED.iter().find(|(known, _)| *known == bed).map(|(_, occupied)| *occupied);
    settled.unwrap_or((at * 7 + (shift + at * 5) / 9) % 11 < 8)
}

fn old_cases(story: &mut Story) {
    // An old case, nearly through: three follow-ups without a find, four days of proof missing.
    let found = 55 * DAY;
    live_find(story, found, KEEPER, "5N-03", "5N-03-A/mattress");
    let plan = Treatment::of("5N-03", found - 4 * HOUR, &["5N-03-A"], "5N-03");
    treat(story, &Treatment { air: ("22", "45"), damp: Some(134), dry: 202, ..plan });
    ring(story, found - 6 * HOUR, &["5N-02", "5N-04", "5N-11", "4N-03"]);
    for days in [41, 27, 13] {
        inspected(story, days * DAY, PREVENTION, "5N-03");
    }
    // Bites alone: an inspection found nothing, and the room was clear again.
    let bites = story.note(20 * DAY, NURSE, "finding", "4N-02");
    bites.say("seen", "reported-bites").say("note", "itchy arms since the night");
    inspected(story, 20 * DAY - HOUR, KEEPER, "4N-02");
    // A case that came back: its first follow-up was clean, its second was not.
    let first = 40 * DAY;
    let around = ["4N-04", "4N-06", "4N-09", "3N-05", "5N-05"];
    live_find(story, first, PREVENTION, "4N-05", "4N-05-B/headboard");
    let plan = Treatment::of("4N-05", first - 4 * HOUR, &["4N-05-A", "4N-05-B"], "4N05-1");
    treat(story, &Treatment { damp: Some(120), dry: 165, ..plan });
    ring(story, first - 6 * HOUR, &around);
    inspected(story, 26 * DAY, KEEPER, "4N-05");
    let again = 12 * DAY;
    live_find(story, again, KEEPER, "4N-05", "sleeper-chair");
    let second = Treatment::of("4N-05", again - 4 * HOUR, &["4N-05-A", "4N-05-B"], "4N05-2");
    let purpose = "re-application";
    treat(story, &Treatment { purpose, amount_ml: "700", air: ("21", "52"), damp: Some(112), dry: 171, ..second });
    ring(story, again - 6 * HOUR, &around);
    // A case whose follow-up is overdue.
    let found = 18 * DAY;
    live_find(story, found, KEEPER, "4N-08", "4N-08-A/bed-frame");
    let plan = Treatment::of("4N-08", found - 4 * HOUR, &["4N-08-A"], "4N08");
    treat(story, &Treatment { amount_ml: "650", air: ("24", "40"), damp: Some(95), dry: 150, ..plan });
    ring(story, found - 6 * HOUR, &["4N-D", "4N-09", "4N-06", "3N-08", "5N-08"]);
}

/// A trained person sees a live bug in this zone.
pub(super) fn live_find(story: &mut Story, ago: i64, who: &'static str, room: &str, zone: &str) {
    story.note(ago, who, "finding", room).say("seen", format!("{zone}=live-adult"));
}

/// A full inspection by eye that found nothing.
pub(super) fn inspected(story: &mut Story, ago: i64, who: &'static str, room: &str) {
    let step = story.note(ago, who, "inspect", room);
    step.say("depth", "full").say("looks", "all=nothing").at("began", ago + 18);
}

/// Neighbours of a find, inspected one after the other with nothing seen.
pub(super) fn ring(story: &mut Story, ago: i64, rooms: &[&str]) {
    for (at, room) in rooms.iter().enumerate() {
        inspected(story, ago - 25 * at as i64, KEEPER, room);
    }
}

/// One room's treatment, from the patient's leaving to the return to service.
pub(super) struct Treatment<'a> {
    pub(super) room: &'a str,
    pub(super) beds: &'a [&'a str],
    /// When spraying began, in minutes before now.
    pub(super) spray: i64,
    /// The beginning of its bags' tags.
    pub(super) tag: &'a str,
    pub(super) purpose: &'static str,
    pub(super) amount_ml: &'static str,
    /// Of the room: °C and percent.
    pub(super) air: (&'static str, &'static str),
    /// When a mattress was found damp, and when all was found dry: minutes after the beginning of the spraying.
    pub(super) damp: Option<i64>,
    pub(super) dry: i64,
}

impl<'a> Treatment<'a> {
    pub(super) fn of(room: &'a str, spray: i64, beds: &'a [&'a str], tag: &'a str) -> Self {
        let (purpose, amount_ml, air) = ("infested", "850", ("22", "45"));
        Self { room, beds, spray, tag, purpose, amount_ml, air, damp: None, dry: 180 }
    }

    pub(super) fn bags(&self) -> [String; 2] {
        [format!("{}-L", self.tag), format!("{}-C", self.tag)]
    }
}

/// The whole of a treatment that went well.
fn treat(story: &mut Story, plan: &Treatment<'_>) {
    leave_and_spray(story, plan);
    if let (Some(after), [bed, ..]) = (plan.damp, plan.beds) {
        one_damp(story, plan.room, bed, plan.spray - after);
    }
    all_dry(story, plan.room, plan.spray - plan.dry);
    for (at, bag) in plan.bags().iter().enumerate() {
        launder(story, plan.spray - 215 - 5 * at as i64, bag, "75");
    }
    vacuum(story, plan.spray - 230, plan.room);
    for (at, bed) in plan.beds.iter().enumerate() {
        make_bed(story, plan.spray - 240 - 6 * at as i64, bed, &plan.bags());
    }
    story.note(plan.spray - 260, LEAD, "return", plan.room);
}

/// Patient out, room prepared, sprayed, and what is never sprayed treated otherwise.
pub(super) fn leave_and_spray(story: &mut Story, plan: &Treatment<'_>) {
    let Treatment { room, spray, .. } = *plan;
    let moved = story.note(spray + 120, KEEPER, "move-patient", room).say("went", "home").say("washed", "yes");
    for bed in plan.beds {
        moved.say("beds", *bed);
    }
    let prepared = story.note(spray + 90, HELPER, "prepare", room);
    for step in ["specimen-kept", "linens-bagged", "clutter-out", "insects-vacuumed", "door-sign-up"] {
        prepared.say("steps", step);
    }
    for bag in plan.bags() {
        prepared.say("bags", bag);
    }
    let sprayed = story.note(spray - 22, TECHNICIAN, "spray", room);
    sprayed.late(22).say("purpose", plan.purpose).say("product", PRODUCT).at("finish", spray - 20);
    sprayed.zones("zones", Which::Sprayable, "").say("patient-inside", "no").say("amount-ml", plan.amount_ml);
    if plan.purpose == "re-application" {
        sprayed.zones("scope", Which::Sprayable, "");
    }
    for bag in plan.bags() {
        sprayed.say("bags", bag);
    }
    sprayed.say("rate", "40 ml a square metre").say("area", "21 m²").say("target-pest", "bed bugs");
    sprayed
        .say("for-whom", "Fernholt demonstration hospital, 1 Example Road")
        .say("celsius", plan.air.0)
        .say("humidity", plan.air.1);
    let otherwise = story.note(spray - 40, TECHNICIAN, "treat-zone", room);
    otherwise.zones("zones", Which::OtherMethod, "").say("method", "inspected");
}

/// Empty rooms of a ward in which a case had been, sprayed where bugs like to hide. In the last of them a fan was brought while
/// it dried, so that its drying says nothing of the estimate.
fn preventive_round(story: &mut Story) {
    let of = |room, beds: &'static [&'static str], spray, amount_ml| Prevention {
        room,
        beds,
        spray,
        amount_ml,
        air: Some(("22", "50")),
    };
    let rooms = [
        (of("3N-05", &["3N-05-A", "3N-05-B"], 33 * DAY - 4 * HOUR, "420"), 82, 130, "no"),
        (of("3N-06", &["3N-06-A"], 32 * DAY - 4 * HOUR, "400"), 98, 135, "no"),
        (of("3N-09", &["3N-09-A", "3N-09-B"], 30 * DAY - 4 * HOUR, "500"), 90, 112, "fan-brought"),
    ];
    for (plan, damp, dry, changed) in rooms {
        prevent(story, &plan);
        if let [bed, ..] = plan.beds {
            one_damp(story, plan.room, bed, plan.spray - damp);
        }
        hiding_places_dry(story, plan.room, plan.spray - dry).say("changed", changed);
        made_and_returned(story, &plan);
    }
}

/// One room's preventive spray.
pub(super) struct Prevention<'a> {
    pub(super) room: &'a str,
    pub(super) beds: &'a [&'a str],
    /// When spraying began, in minutes before now.
    pub(super) spray: i64,
    pub(super) amount_ml: &'static str,
    /// Of the room: °C and percent. None: nobody looked.
    pub(super) air: Option<(&'static str, &'static str)>,
}

/// Room prepared, its hiding places sprayed, and what is never sprayed treated otherwise.
pub(super) fn prevent(story: &mut Story, plan: &Prevention<'_>) {
    let Prevention { room, spray, .. } = *plan;
    let prepared = story.note(spray + 60, HELPER, "prepare", room);
    prepared.say("steps", "linens-bagged").say("steps", "clutter-out").say("steps", "door-sign-up");
    prepared.say("bags", "none");
    let sprayed = story.note(spray - 14, TECHNICIAN, "spray", room);
    sprayed.late(14).say("purpose", "preventive").say("product", PRODUCT).at("finish", spray - 12);
    sprayed.zones("zones", Which::SprayableHiding, "").say("bags", "none").say("patient-inside", "no");
    sprayed.say("amount-ml", plan.amount_ml).say("rate", "40 ml a square metre").say("area", "10 m²");
    if let Some((celsius, humidity)) = plan.air {
        sprayed.say("celsius", celsius).say("humidity", humidity);
    }
    let otherwise = story.note(spray - 30, TECHNICIAN, "treat-zone", room);
    otherwise.zones("zones", Which::OtherHiding, "").say("method", "steamed");
}

/// A dry check of 12 minutes that ended at this time, every hiding place dry.
pub(super) fn hiding_places_dry<'s>(story: &'s mut Story, room: &str, ended: i64) -> &'s mut Step {
    let check = story.note(ended, KEEPER, "dry-check", room);
    check.at("began", ended + 12).zones("zones", Which::SprayableHiding, "=dry").say("ventilation", "windows open")
}

/// What follows once it is dry, up to the return to service.
pub(super) fn made_and_returned(story: &mut Story, plan: &Prevention<'_>) {
    vacuum(story, plan.spray - 190, plan.room);
    for (at, bed) in plan.beds.iter().enumerate() {
        let made = story.note(plan.spray - 200 - 6 * at as i64, HELPER, "make-bed", *bed);
        made.say("stock", "linen store, third floor");
    }
    story.note(plan.spray - 230, LEAD, "return", plan.room);
}

/// A dry check of ten minutes that ended at this time: one mattress is damp, and nobody felt on.
pub(super) fn one_damp(story: &mut Story, room: &str, bed: &str, ended: i64) {
    let check = story.note(ended, KEEPER, "dry-check", room);
    check.at("began", ended + 10).say("zones", format!("{bed}/mattress=damp")).say("ventilation", "ventilation on");
}

/// A dry check of 15 minutes that ended at this time, everything dry.
pub(super) fn all_dry(story: &mut Story, room: &str, ended: i64) {
    let check = story.note(ended, KEEPER, "dry-check", room);
    check.at("began", ended + 15).zones("zones", Which::Sprayable, "=dry").say("ventilation", "windows open, fan on");
}

/// A bag's cycle: this wash temperature for 32 minutes, then a hot dryer.
pub(super) fn launder(story: &mut Story, ago: i64, bag: &str, celsius: &str) {
    let step = story.note(ago, LAUNDRY, "launder", bag);
    step.say("wash-celsius", celsius).say("wash-minutes", "32").say("detergent", "yes");
    step.say("dry-celsius", "65").say("dry-minutes", "25").say("small-load", "no");
}

pub(super) fn vacuum(story: &mut Story, ago: i64, room: &str) {
    story.note(ago, KEEPER, "vacuum", room).zones("zones", Which::Soft, "");
}

pub(super) fn make_bed(story: &mut Story, ago: i64, bed: &str, bags: &[String]) {
    let step = story.note(ago, HELPER, "make-bed", bed);
    for bag in bags {
        step.say("bags", bag);
    }
}
