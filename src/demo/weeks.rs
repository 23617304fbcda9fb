//! The weeks before today: daily looks, occupancy at each shift, three old cases and what became of them.

use super::people::{HELPER, KEEPER, LAUNDRY, LEAD, NURSE, PREVENTION, PRODUCT, TECHNICIAN};
use super::story::{DAY, HOUR, Story, Which};
use crate::setup::RoomList;

/// Rooms that stood empty: room, from and until, in minutes before now.
const EMPTIED: [(&str, i64, i64); 13] = [
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
    treat(story, &Treatment { purpose: "infested", ..Treatment::of("5N-03", found - 4 * HOUR, &["5N-03-A"], "5N-03") });
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
    treat(story, &Treatment::of("4N-05", first - 4 * HOUR, &["4N-05-A", "4N-05-B"], "4N05-1"));
    ring(story, first - 6 * HOUR, &around);
    inspected(story, 26 * DAY, KEEPER, "4N-05");
    let again = 12 * DAY;
    live_find(story, again, KEEPER, "4N-05", "sleeper-chair");
    let second = Treatment::of("4N-05", again - 4 * HOUR, &["4N-05-A", "4N-05-B"], "4N05-2");
    treat(story, &Treatment { purpose: "re-application", ..second });
    ring(story, again - 6 * HOUR, &around);
    // A case whose follow-up is overdue.
    let found = 18 * DAY;
    live_find(story, found, KEEPER, "4N-08", "4N-08-A/bed-frame");
    treat(story, &Treatment::of("4N-08", found - 4 * HOUR, &["4N-08-A"], "4N08"));
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
}

impl<'a> Treatment<'a> {
    pub(super) fn of(room: &'a str, spray: i64, beds: &'a [&'a str], tag: &'a str) -> Self {
        Self { room, beds, spray, tag, purpose: "infested" }
    }

    pub(super) fn bags(&self) -> [String; 2] {
        [format!("{}-L", self.tag), format!("{}-C", self.tag)]
    }
}

/// The whole of a treatment that went well.
fn treat(story: &mut Story, plan: &Treatment<'_>) {
    leave_and_spray(story, plan);
    all_dry(story, plan.room, plan.spray - 180);
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
    story.note(spray + 120, KEEPER, "patient-out", room).say("washed", "yes");
    let prepared = story.note(spray + 90, HELPER, "prepare", room);
    for step in ["specimen-kept", "linens-bagged", "clutter-out", "insects-vacuumed", "door-sign-up"] {
        prepared.say("steps", step);
    }
    for bag in plan.bags() {
        prepared.say("bags", bag);
    }
    let sprayed = story.note(spray - 22, TECHNICIAN, "spray", room);
    sprayed.late(22).say("purpose", plan.purpose).say("product", PRODUCT).at("finish", spray - 20);
    sprayed.zones("zones", Which::Sprayable, "").say("patient-inside", "no").say("amount-ml", "850");
    if plan.purpose == "re-application" {
        sprayed.zones("scope", Which::Sprayable, "");
    }
    for bag in plan.bags() {
        sprayed.say("bags", bag);
    }
    sprayed.say("rate", "40 ml a square metre").say("area", "21 m²").say("target-pest", "bed bugs");
    sprayed
        .say("for-whom", "Fernholt demonstration hospital, 1 Example Road")
        .say("celsius", "22")
        .say("humidity", "45");
    let otherwise = story.note(spray - 40, TECHNICIAN, "treat-zone", room);
    otherwise.zones("zones", Which::OtherMethod, "").say("method", "inspected");
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
