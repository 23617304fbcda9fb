//! The last days: one room in every state, and what a shift has to deal with.

use super::people::{HELPER, KEEPER, LEAD, NURSE, PREVENTION};
use super::story::{DAY, HOUR, Story, Which};
use super::weeks::{
    Prevention, Treatment, all_dry, hiding_places_dry, inspected, launder, leave_and_spray, live_find,
    made_and_returned, make_bed, one_damp, prevent, ring, vacuum,
};

pub(super) fn happens(story: &mut Story) {
    confirmed_today(story);
    damp_after_two_hours(story);
    dry_but_owing_two_things(story);
    bitten_this_morning(story);
    noted_in_the_wrong_room(story);
    carpets_cleaned(story);
    plumbing(story);
    beds_change_hands(story);
    expected_today(story);
}

/// Confirmed a few hours ago: the patient is out, the room is being prepared, its neighbours wait for their inspection.
fn confirmed_today(story: &mut Story) {
    let spots = story.note(295, NURSE, "finding", "3N-03");
    spots.say("seen", "3N-03-A/mattress=dark-spots").say("note", "along the seam at the head end");
    let inspection = story.note(232, PREVENTION, "inspect", "3N-03");
    inspection.say("depth", "full").at("began", 250).say("looks", "all=nothing");
    inspection.say("looks", "3N-03-A/headboard=live-nymph").say("looks", "3N-03-A/mattress=dark-spots");
    inspection.say("looks", "3N-03-A/mattress=eggs");
    let out = story.note(219, NURSE, "move-patient", "3N-03-A");
    out.say("washed", "yes").say("to", "3N-13-A");
    let prepared = story.note(150, HELPER, "prepare", "3N-03");
    for step in ["specimen-kept", "linens-bagged", "clutter-out", "door-sign-up"] {
        prepared.say("steps", step);
    }
    prepared.say("bags", "3N03-L").say("bags", "3N03-C");
    inspected(story, 120, KEEPER, "3N-02");
}

/// Sprayed, and two hours later a mattress is still damp.
fn damp_after_two_hours(story: &mut Story) {
    let found = 26 * HOUR;
    live_find(story, found, PREVENTION, "3N-07", "3N-07-A/mattress");
    ring(story, found - 3 * HOUR, &["3N-06", "3N-D", "3N-B1", "4N-07"]);
    let plan = Treatment::of("3N-07", 150, &["3N-07-A", "3N-07-B"], "3N07");
    leave_and_spray(story, &plan);
    let check = story.note(6, KEEPER, "dry-check", "3N-07");
    check.at("began", 18).say("zones", "3N-07-A/mattress=damp").zones("zones", Which::Sprayable, "=dry");
    check.say("ventilation", "door closed, ventilation on");
    let [linens, _] = plan.bags();
    launder(story, 60, &linens, "75");
}

/// Dry since yesterday, but one load was not hot enough, and the bed that waits for it is not made.
fn dry_but_owing_two_things(story: &mut Story) {
    let found = 3 * DAY;
    live_find(story, found, KEEPER, "3N-10", "3N-10-B/headboard");
    ring(story, found - 4 * HOUR, &["3N-09", "3N-11", "3N-04", "4N-10"]);
    let plan = Treatment::of("3N-10", 26 * HOUR, &["3N-10-A", "3N-10-B"], "3N10");
    leave_and_spray(story, &plan);
    one_damp(story, "3N-10", "3N-10-A", plan.spray - 125);
    all_dry(story, "3N-10", plan.spray - 185);
    vacuum(story, plan.spray - 5 * HOUR, "3N-10");
    let [linens, curtains] = plan.bags();
    launder(story, plan.spray - 6 * HOUR, &linens, "75");
    launder(story, 3 * HOUR, &curtains, "58");
    make_bed(story, plan.spray - 8 * HOUR, "3N-10-A", &[linens]);
}

/// Bites alone confirm nothing; they ask for an inspection soon.
fn bitten_this_morning(story: &mut Story) {
    let bites = story.note(90, NURSE, "finding", "3N-12");
    bites.say("seen", "reported-bites").say("note", "reported at the morning round");
}

/// A true finding in the wrong room: voided, but nobody has looked in that room since.
fn noted_in_the_wrong_room(story: &mut Story) {
    let mistaken = story.note(28 * HOUR, HELPER, "finding", "4N-12");
    mistaken.say("seen", "chair=dark-spots").called("mistaken");
    let true_one = story.note(28 * HOUR - 20, HELPER, "finding", "4N-11");
    true_one.say("seen", "chair=dark-spots").say("note", "first noted in 4N-12");
    let void = story.note(28 * HOUR - 30, LEAD, "void", "4N-12");
    void.entry("entry", "mistaken").say("why", "wrong room: the chair stands in 4N-11").say("really-in", "4N-11");
    inspected(story, 26 * HOUR, KEEPER, "4N-11");
}

/// A preventive round behind a carpet cleaning. The third room is returned, and still out of service for its carpet.
fn carpets_cleaned(story: &mut Story) {
    let rooms = [
        ("5N-09", ["5N-09-A", "5N-09-B"], "carpet of 5N-09", 84, 118),
        ("5N-10", ["5N-10-A", "5N-10-B"], "carpet of 5N-10", 0, 96),
        ("5N-11", ["5N-11-A", "5N-11-B"], "carpet of 5N-11", 0, 180),
    ];
    for (at, (room, beds, label, damp, dry)) in rooms.into_iter().enumerate() {
        let spray = 50 * HOUR - 40 * at as i64;
        let closed = story.note(3 * DAY - at as i64, LEAD, "out-of-service", room);
        closed.say("reason", "carpet cleaning").called(label);
        let plan = Prevention { room, beds: &beds, spray, amount_ml: "400", air: None };
        prevent(story, &plan);
        if damp > 0 {
            one_damp(story, room, beds[0], spray - damp);
        }
        hiding_places_dry(story, room, spray - dry);
        made_and_returned(story, &plan);
        if at < 2 {
            story.note(spray - 240, LEAD, "in-service", room).entry("closing", label);
        }
    }
}

fn plumbing(story: &mut Story) {
    story.note(6 * DAY - HOUR, LEAD, "out-of-service", "5N-02").say("reason", "plumbing: waiting for a part");
}

fn beds_change_hands(story: &mut Story) {
    story.note(45, NURSE, "empty", "4N-04-B");
    story.note(80, NURSE, "occupied", "5N-09-A");
}

/// Two beds are kept for patients who come this afternoon: one open, one that waits for its mattress.
fn expected_today(story: &mut Story) {
    story.note(35, NURSE, "promise", "3N-08-B").at("wanted", -90);
    story.note(34, NURSE, "promise", "3N-07-A").at("wanted", -150);
}
