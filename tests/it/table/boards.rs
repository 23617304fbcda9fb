//! The boards of the table: each state of room 101, with and without something owed, and what else may close it.

use chrono::TimeDelta;
use dryhold::domain::entry::{Body, Known, Number, Place, Purpose, Sign};

use crate::rules::world::*;

fn in_101(body: Body) -> (Place, Body) {
    (Place::room(code("101")), body)
}

fn unreadable() -> Body {
    Body::Unreadable { raw: "(…)".to_owned(), why: "a kind from a newer version".to_owned() }
}

fn confirmed() -> World {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world
}

fn suspect(sign: Sign) -> World {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.finding("101", &[sign]));
    world
}

/// Sprayed in room 101 just now, with this changed.
fn sprayed_but(change: impl FnOnce(&mut Body)) -> World {
    let mut world = World::open();
    world.to("09:00");
    world.ok("HK", world.prepare("101", "BAG1"));
    world.to("09:10");
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    change(&mut body);
    world.ok("TECH", (place, body));
    world
}

fn dry_with_everything_owed() -> World {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world
}

fn with(mut world: World, person: &str, what: impl FnOnce(&World) -> (Place, Body)) -> World {
    let (place, body) = what(&world);
    world.ok(person, (place, body));
    world
}

fn written(mut world: World, place: Place, body: Body) -> World {
    world.raw("LEAD", place, body);
    world
}

fn newest(world: &World) -> Number {
    world.entries.last().unwrap().number
}

fn void_newest(world: World) -> World {
    let newest = newest(&world);
    with(world, "LEAD", |w| w.void("101", newest))
}

/// Monitoring, lived in for 61 days, with this many clean inspections.
fn quiet(inspections: i64) -> World {
    let mut world = World::returned();
    world.ok("NURSE", world.occupied("101", "A"));
    for _ in 0..inspections {
        world.days(61 / inspections);
        world.ok("EYES", world.inspect("101", ALL_101));
    }
    world.days(2);
    world
}

pub(super) fn all() -> Vec<(&'static str, World)> {
    let out_of_service = |w: &World| {
        let _ = w;
        in_101(Body::OutOfService { reason: "a leaking tap".to_owned() })
    };
    let mut late_clock = World::ready_to_return();
    late_clock.now -= TimeDelta::minutes(20);
    let mut past_the_label = World::sprayed();
    past_the_label.to("11:30");
    vec![
        ("ward not walked", World::unwalked()),
        ("clear", World::open()),
        ("clear, occupied", with(World::open(), "NURSE", |w| w.occupied("101", "A"))),
        ("clear, out of service", with(World::open(), "LEAD", out_of_service)),
        ("clear, being prepared", with(World::open(), "HK", |w| w.prepare("101", "BAG1"))),
        ("suspect by bites", suspect(Sign::ReportedBites)),
        ("suspect by dark spots", suspect(Sign::DarkSpots)),
        ("confirmed", confirmed()),
        ("confirmed, being prepared", with(confirmed(), "HK", |w| w.prepare("101", "BAG1"))),
        (
            "confirmed, the patient stays",
            with(confirmed(), "NURSE", |w| {
                in_101(Body::PatientStays { reason: "cannot be moved".to_owned(), review: w.now + TimeDelta::hours(4) })
            }),
        ),
        ("wet, before the label's minutes", World::sprayed()),
        ("wet, after the label's minutes", past_the_label.clone()),
        ("wet, one zone damp", with(past_the_label, "HK", |w| w.dry_check("101", "A/frame", "A/mattress"))),
        (
            "wet, nothing stated",
            sprayed_but(|body| {
                if let Body::Sprayed { zones, finished, bags, .. } = body {
                    (*zones, *finished, *bags) = (None, None, None);
                }
            }),
        ),
        (
            "wet, no label words",
            sprayed_but(|body| {
                if let Body::Sprayed { product, reentry_words, reentry_minutes, .. } = body {
                    (*product, *reentry_words, *reentry_minutes) = (code("NOWORDS"), None, None);
                }
            }),
        ),
        (
            "wet, a preventive round",
            sprayed_but(|body| {
                if let Body::Sprayed { purpose, .. } = body {
                    *purpose = Purpose::Preventive;
                }
            }),
        ),
        (
            "wet, sprayed with a patient inside",
            sprayed_but(|body| {
                if let Body::Sprayed { patient_inside, .. } = body {
                    *patient_inside = Known::Yes;
                }
            }),
        ),
        ("wet, out of service", with(World::sprayed(), "LEAD", out_of_service)),
        ("wet, found again", with(World::sprayed(), "TECH", |w| w.finding("101", &[Sign::LiveAdult]))),
        ("dry, everything else owed", dry_with_everything_owed()),
        (
            "dry, wiped",
            with(dry_with_everything_owed(), "HK", |_| {
                in_101(Body::EnteredWet { wiped: zones("A/mattress"), note: String::new() })
            }),
        ),
        ("dry, nothing owed", World::ready_to_return()),
        ("dry, nothing owed, found again", {
            with(World::ready_to_return(), "TECH", |w| w.finding("101", &[Sign::LiveAdult]))
        }),
        ("dry, nothing owed, two sign", {
            let on = Body::PolicySet { key: "second-signature".to_owned(), value: 1 };
            with(World::ready_to_return(), "LEAD", |_| (Place::Hospital, on))
        }),
        ("dry, nothing owed, out of service", with(World::ready_to_return(), "LEAD", out_of_service)),
        ("dry, nothing owed, a clock 20 minutes back", late_clock),
        ("monitoring", World::returned()),
        ("monitoring, found again", with(World::returned(), "HK", |w| w.finding("101", &[Sign::CastSkin]))),
        ("monitoring, quiet and inspected", quiet(4)),
        ("monitoring, quiet, inspected once", quiet(1)),
        ("voided spray awaiting a look", void_newest(World::sprayed())),
        ("voided finding awaiting a look", void_newest(confirmed())),
        ("voided return", {
            let world = with(World::ready_to_return(), "LEAD", |w| w.give_back("101"));
            void_newest(world)
        }),
        ("the shared bathroom suspect", with(World::open(), "HK", |w| w.finding("BATH", &[Sign::DarkSpots]))),
        (
            "a patient received from next door",
            with(with(World::open(), "TECH", |w| w.finding("102", &[Sign::LiveAdult])), "NURSE", |_| {
                let body = Body::PatientOut {
                    beds: vec![code("C")],
                    washed_and_changed: Known::Yes,
                    receiving: Some(code("101")),
                    receiving_bed: None,
                };
                (Place::Rooms(vec![code("102"), code("101")]), body)
            }),
        ),
        ("a damaged line in the room", written(World::open(), Place::room(code("101")), unreadable())),
        ("a damaged line in the room, wet", written(World::sprayed(), Place::room(code("101")), unreadable())),
        ("a damaged line of the ward", written(World::open(), Place::Ward(code("W1")), unreadable())),
        ("a damaged line anywhere", written(World::open(), Place::Unknown, unreadable())),
        (
            "restored from a copy",
            written(World::open(), Place::Hospital, Body::Restored { reason: "Monday's copy".to_owned() }),
        ),
        (
            "the ledger went back",
            written(
                World::returned(),
                Place::Hospital,
                Body::WentBack { had_seen: Number(900), kept: None, since: None },
            ),
        ),
    ]
}
