//! Findings, preparation, spray, dry checks, bags, beds: what each needs, and what it pays.

use chrono::TimeDelta;
use dryhold::domain::board::{DryAbout, State};
use dryhold::domain::entry::{
    BagEnd, Body, Cycle, Depth, InspectionMethod, Known, LinenSource, Place, Purpose, Sign, Specimen, ZoneLook,
};
use dryhold::domain::rule::Rule;

use super::world::*;

fn room(text: &str) -> Place {
    Place::room(code(text))
}

#[test]
pub(super) fn only_a_trained_person_confirms_and_bites_alone_never_do() {
    let confirming = [Sign::LiveAdult, Sign::LiveNymph, Sign::Eggs];
    for sign in Sign::ALL {
        for (person, trained) in [("HK", false), ("EYES", true)] {
            let mut world = World::open();
            world.ok(person, world.finding("101", &[*sign]));
            let expected = if trained && confirming.contains(sign) { State::Confirmed } else { State::Suspect };
            assert_eq!(world.state("101"), expected, "{} by {person}", sign.title());
            let rule = if expected == State::Confirmed { Rule::Confirmed } else { Rule::Suspect };
            assert!(world.closed_by("A").contains(&rule));
        }
    }
}

#[test]
pub(super) fn a_complete_negative_inspection_by_a_trained_person_settles_a_suspicion() {
    let mut world = World::open();
    world.ok("NURSE", world.finding("101", &[Sign::ReportedBites]));
    world.no("HK", world.inspect("101", ALL_101), Rule::Role);
    world.ok("EYES", world.inspect("101", "A/mattress chair"));
    assert_eq!(world.state("101"), State::Suspect, "an incomplete inspection is kept and satisfies nothing");
    let (place, _) = world.inspect("101", ALL_101);
    let nobody = Body::Inspected {
        depth: Depth::Full,
        method: InspectionMethod::Visual,
        began: world.now,
        looks: vec![],
        note: String::new(),
        seen: world.seen("101"),
    };
    world.no("EYES", (place, nobody), Rule::CompleteInspection);
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(world.state("101"), State::Clear, "bites alone open no case");
    assert!(world.is_open("A"));
}

#[test]
pub(super) fn physical_evidence_leaves_a_case_behind() {
    let mut world = World::open();
    world.ok("HK", world.finding("101", &[Sign::CastSkin]));
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(world.state("101"), State::Monitoring);
}

#[test]
pub(super) fn an_inspection_settles_only_findings_from_before_it_began() {
    let mut world = World::open();
    world.to("09:00");
    let inspection = world.inspect("101", ALL_101);
    world.to("09:05");
    world.ok("NURSE", world.finding("101", &[Sign::ReportedBites]));
    let (place, mut body) = inspection;
    if let Body::Inspected { seen, .. } = &mut body {
        *seen = world.seen("101");
    }
    world.ok("EYES", (place, body));
    assert_eq!(world.state("101"), State::Suspect);
}

#[test]
pub(super) fn an_inspection_that_sees_a_sign_is_a_finding() {
    let mut world = World::open();
    let (place, mut body) = world.inspect("101", ALL_101);
    if let Body::Inspected { looks, .. } = &mut body {
        looks[0] = ZoneLook { zone: zone("A/mattress"), seen: vec![Sign::Eggs] };
    }
    world.ok("EYES", (place, body));
    assert_eq!(world.state("101"), State::Confirmed);
}

#[test]
pub(super) fn a_specimen_identified_as_something_else_and_a_negative_inspection_take_a_confirmation_back() {
    let mut world = World::open();
    let finding = world.ok("EYES", world.finding("101", &[Sign::LiveNymph]));
    let identify = |world: &World, specimen, finding| {
        let identified_by = "the county's entomologist".to_owned();
        (room("101"), Body::Identified { finding, specimen, identified_by, seen: world.seen("101") })
    };
    world.no("EYES", identify(&world, Specimen::SomethingElse, None), Rule::Target);
    world.ok("EYES", identify(&world, Specimen::SomethingElse, Some(finding)));
    assert_eq!(world.state("101"), State::Confirmed);
    world.ok("EYES", world.inspect("101", ALL_101));
    assert_eq!(world.state("101"), State::Monitoring);
    world.ok("HK", identify(&world, Specimen::BedBug, None));
    assert_eq!(world.state("101"), State::Confirmed);
}

#[test]
pub(super) fn the_moment_any_spray_is_on_the_room_is_wet() {
    for before in [None, Some(Sign::DarkSpots), Some(Sign::LiveAdult)] {
        let mut world = World::open();
        if let Some(sign) = before {
            world.ok("TECH", world.finding("101", &[sign]));
        }
        world.ok("TECH", world.spray("101", "chair", ""));
        assert_eq!(world.state("101"), State::TreatedWet, "{before:?}");
        assert!(world.closed_by("A").contains(&Rule::Wet));
    }
}

#[test]
pub(super) fn what_the_finding_owes_blocks_the_return_until_it_is_treated() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("TECH", world.spray("101", "A/mattress", ""));
    world.to("11:30");
    world.ok("HK", world.dry_check("101", "A/mattress", ""));
    assert_eq!(world.state("101"), State::TreatedDry);
    assert!(world.closed_by("A").contains(&Rule::Coverage));
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    let refusal = world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    assert_eq!(refusal.mend(), Some("treat-zone"));
    world.ok("TECH", world.treat("101", "A/frame B/mattress B/frame chair monitor"));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn a_preventive_spray_covers_every_usual_hiding_place() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", "C/mattress", "");
    if let Body::Sprayed { purpose, .. } = &mut body {
        *purpose = Purpose::Preventive;
    }
    world.ok("TECH", (place, body));
    assert!(world.closed_by("C").contains(&Rule::Coverage));
    world.to("11:30");
    world.ok("HK", world.dry_check("102", "C/mattress", ""));
    world.ok("HK", world.make("102", "C"));
    world.no("LEAD", world.give_back("102"), Rule::ReturnSigned);
    world.ok("HK", world.treat("102", "C/frame chair"));
    world.ok("LEAD", world.give_back("102"));
    assert_eq!(world.state("102"), State::Clear, "no case was open");
}

#[test]
pub(super) fn spray_on_powered_equipment_wets_it_pays_nothing_and_is_an_exception() {
    let mut world = World::open();
    world.to("09:00");
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    world.ok("TECH", world.spray("101", ALL_101, ""));
    assert!(world.board.exceptions().iter().any(|e| e.kind.to_string().contains("monitor")));
    world.to("11:30");
    world.ok("HK", world.dry_check("101", ALL_101, ""));
    assert!(world.closed_by("A").contains(&Rule::Coverage), "the monitor is owed another method");
}

#[test]
pub(super) fn no_dry_check_counts_before_the_labels_minimum() {
    let mut world = World::sprayed();
    world.to("11:09");
    let refusal = world.no("HK", world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    assert!(refusal.to_string().contains("11:10"), "{refusal}");
    world.to("11:11");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(world.state("101"), State::TreatedDry);
}

#[test]
pub(super) fn label_words_without_minutes_mean_no_minimum_and_no_words_mean_no_check() {
    for (product, words) in [("WORDS", Some("Keep out until dry.".to_owned())), ("NOWORDS", None)] {
        let mut world = World::open();
        world.to("09:00");
        let (place, mut body) = world.spray("102", SPRAYED_102, "");
        if let Body::Sprayed { product: name, reentry_words, reentry_minutes, .. } = &mut body {
            (*name, *reentry_words, *reentry_minutes) = (code(product), words.clone(), None);
        }
        let spray = world.ok("TECH", (place, body));
        world.to("09:30");
        if words.is_some() {
            world.ok("HK", world.dry_check("102", SPRAYED_102, ""));
            assert_eq!(world.state("102"), State::TreatedDry);
            continue;
        }
        let refusal = world.no("HK", world.dry_check("102", SPRAYED_102, ""), Rule::Unstated);
        assert_eq!(refusal.mend(), Some("complete-spray"));
        let supply = Body::SprayCompleted {
            spray,
            zones: None,
            finished: None,
            bags: None,
            reentry_words: Some("Keep out for one hour.".to_owned()),
            reentry_minutes: Some(60),
            amount_ml: None,
            patient_inside: Known::Unknown,
        };
        world.no("HK", (room("102"), supply.clone()), Rule::Role);
        world.ok("LEAD", (room("102"), supply));
        world.to("10:20");
        world.no("HK", world.dry_check("102", SPRAYED_102, ""), Rule::Label);
        world.to("10:40");
        world.ok("HK", world.dry_check("102", SPRAYED_102, ""));
        assert_eq!(world.state("102"), State::TreatedDry);
    }
}

#[test]
pub(super) fn what_a_spray_left_unstated_counts_as_unsafe() {
    let mut world = World::open();
    world.to("09:00");
    let (place, mut body) = world.spray("102", "", "");
    if let Body::Sprayed { zones, finished, bags, .. } = &mut body {
        (*zones, *finished, *bags) = (None, None, None);
    }
    let spray = world.ok("TECH", (place, body));
    let blockers = world.blockers("C");
    let wet = blockers.iter().find(|b| b.rule == Rule::Wet).unwrap();
    assert!(wet.text.contains("monitor"), "zones not stated: everything is wet: {}", wet.text);
    assert!(world.closed_by("C").contains(&Rule::Unstated));
    let supply = Body::SprayCompleted {
        spray,
        zones: None,
        finished: Some(world.at("09:00")),
        bags: Some(vec![code("LATE1")]),
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    world.to("09:30");
    world.ok("TECH", (room("102"), supply));
    assert!(world.closed_by("C").contains(&Rule::Bags), "bags supplied later are owed like the others");
    world.to("11:20");
    world.no("HK", world.dry_check("102", ALL_102, ""), Rule::Label);
    world.to("11:35");
    world.ok("HK", world.dry_check("102", ALL_102, ""));
    assert_eq!(world.state("102"), State::TreatedDry);
}

#[test]
pub(super) fn only_the_label_bars_a_dry_check_the_hour_after_a_damp_one_is_advice() {
    let check = |world: &World| {
        let tasks = world.board.tasks_of(code("101"), world.now);
        tasks.into_iter().find(|task| task.verb == "dry-check").expect("a dry check is due")
    };
    let mut world = World::sprayed();
    let first = check(&world);
    assert_eq!(first.not_before, Some(world.at("11:10")), "the label's");
    assert_eq!(first.due, first.dry_about.and_then(DryAbout::likely), "the estimate, which is later");
    assert!(first.due > first.not_before);
    world.to("12:00");
    world.ok("HK", world.dry_check("101", "", SPRAYED_101));
    let task = check(&world);
    assert!(task.not_before < Some(world.now) && task.due == Some(world.at("13:00")), "{task:?}");
    world.to("12:20");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(world.state("101"), State::TreatedDry);
}

#[test]
pub(super) fn a_damp_zone_keeps_the_room_wet_and_its_bed_unmade() {
    let mut world = World::ready_to_return();
    world.ok("HK", world.dry_check("101", "", "B/mattress"));
    assert_eq!(world.state("101"), State::TreatedWet);
    let rules = world.closed_by("B");
    assert!(rules.contains(&Rule::Wet) && rules.contains(&Rule::BedsMade), "{rules:?}");
    world.ok("HK", world.make("101", "B"));
    world.ok("HK", world.dry_check("101", "B/mattress", ""));
    assert!(world.closed_by("B").contains(&Rule::BedsMade), "it was made on a damp mattress");
    world.ok("HK", world.make("101", "B"));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn a_dry_check_that_takes_too_long_starts_again() {
    let mut world = World::sprayed();
    world.to("12:00");
    let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.now - TimeDelta::minutes(31);
    }
    world.no("HK", (place, body), Rule::CheckTooLong);
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.no(
        "HK",
        (room("101"), Body::DryChecked { began: world.now, zones: vec![], ventilation: String::new(), changed: None }),
        Rule::Wet,
    );
}

#[test]
pub(super) fn a_check_counts_from_its_beginning_so_one_begun_too_early_does_not() {
    let mut world = World::sprayed();
    world.to("11:20");
    let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.at("11:09");
    }
    world.no("HK", (place, body), Rule::Label);
}

#[test]
pub(super) fn a_load_that_fails_is_kept_and_settles_nothing() {
    let mut world = World::sprayed();
    world.to("11:30");
    let cool = Cycle { wash_decicelsius: Some(400), wash_minutes: Some(45), detergent: Known::Yes, ..Cycle::default() };
    let load = |cycle: Cycle| (room("101"), Body::Laundered { bag: code("BAG1"), cycle, slip: String::new() });
    world.ok("WASH", load(cool));
    assert!(world.closed_by("A").contains(&Rule::Bags));
    assert_eq!(world.board.room(code("101")).unwrap().failed_loads.len(), 1);
    // A dryer alone may kill insects; things that were sprayed also need a wash.
    let dryer = Cycle { dry_decicelsius: Some(720), dry_minutes: Some(60), small_load: Known::Yes, ..Cycle::default() };
    world.ok("WASH", load(dryer));
    assert!(world.closed_by("A").contains(&Rule::Bags), "{}", Rule::LaundryCriteria.sentence());
    world.ok("WASH", world.launder("101", "BAG1"));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
    world.no("WASH", world.launder("101", "BAG9"), Rule::Bags);
}

/// The numbers are the entry's own: there is no file here.
#[test]
pub(super) fn a_measured_load_settles_by_what_its_entry_keeps() {
    use dryhold::domain::measured::{FileHash, HeldFor, LoggerIn, Measured, SensorSeen};
    let sensor = |decicelsius: &[(i32, u32, u32)]| SensorSeen {
        name: "drum".to_owned(),
        hottest_decicelsius: 730,
        held: decicelsius
            .iter()
            .map(|(decicelsius, longest_seconds, total_seconds)| HeldFor {
                decicelsius: *decicelsius,
                longest_seconds: *longest_seconds,
                total_seconds: *total_seconds,
            })
            .collect(),
        a0_seconds: 600,
        gaps: 0,
        gap_seconds: 0,
    };
    let trace = |sensors: Vec<SensorSeen>| Measured {
        file: FileHash([1; 32]),
        machine: LoggerIn::Washer,
        uncertainty_decikelvin: Some(5),
        longest_step_seconds: 60,
        began: None,
        seconds: 3600,
        sensors,
        read_as: String::new(),
    };
    let load = |trace: Measured| {
        // What was typed would pass.
        let cycle = Cycle {
            wash_decicelsius: Some(750),
            wash_minutes: Some(60),
            detergent: Known::Yes,
            trace: Some(Box::new(trace)),
            ..Cycle::default()
        };
        (room("101"), Body::Laundered { bag: code("BAG1"), cycle, slip: String::new() })
    };
    let good = sensor(&[(600, 1800, 1800), (710, 1500, 1500)]);
    let short = sensor(&[(600, 1800, 1800), (710, 1499, 1499)]);
    let pieces = sensor(&[(600, 1800, 1800), (710, 1499, 3000)]);
    let insects_live = sensor(&[(600, 1799, 1799), (710, 1500, 1500)]);
    let mut world = World::sprayed();
    world.to("11:30");
    let uncertain = Measured { uncertainty_decikelvin: None, ..trace(vec![good.clone()]) };
    let somewhere = Measured { machine: LoggerIn::Unknown, ..trace(vec![good.clone()]) };
    let worst = trace(vec![good.clone(), short.clone()]);
    let failing = [
        trace(vec![short]),
        trace(vec![pieces]),
        trace(vec![insects_live]),
        trace(vec![]),
        worst,
        uncertain,
        somewhere,
    ];
    for (at, failing) in failing.into_iter().enumerate() {
        world.ok("WASH", load(failing));
        assert!(world.closed_by("A").contains(&Rule::Bags), "the {at}th");
        assert_eq!(world.board.room(code("101")).unwrap().failed_loads.len(), at + 1);
    }
    let settles = world.ok("WASH", load(trace(vec![good.clone()])));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
    world.ok("LEAD", world.void("101", settles));
    assert!(world.closed_by("A").contains(&Rule::Bags));
    world.ok("WASH", load(trace(vec![good])));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn destroying_a_bag_needs_a_witness_who_is_somebody_else() {
    let mut world = World::sprayed();
    let destroy = |witness: &str| {
        (room("101"), Body::BagEnded { bag: code("BAG1"), end: BagEnd::Destroyed { witness: code(witness) } })
    };
    world.no("HK", destroy("HK"), Rule::Witness);
    world.no("HK", destroy("NOBODY"), Rule::Witness);
    world.ok("HK", destroy("LEAD"));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn inspecting_a_bag_does_for_belongings_but_not_for_what_was_sprayed() {
    let inspected = (room("101"), Body::BagEnded { bag: code("BAG1"), end: BagEnd::Inspected });
    let mut world = World::open();
    world.ok("HK", world.prepare("101", "BAG1"));
    world.ok("HK", inspected.clone());
    assert!(!world.closed_by("A").contains(&Rule::Bags));
    let mut world = World::sprayed();
    world.ok("HK", inspected);
    assert!(world.closed_by("A").contains(&Rule::Bags));
}

#[test]
pub(super) fn a_bed_is_made_from_laundered_bags_or_named_stock_of_clear_rooms() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let make = |linens| (room("101"), Body::BedMade { bed: code("A"), linens });
    let stock = |text: &str| LinenSource::Stock(text.to_owned());
    world.no("HK", make(LinenSource::Bags(vec![])), Rule::Linens);
    world.no("HK", make(LinenSource::Bags(vec![code("BAG1")])), Rule::Linens);
    world.no("HK", make(stock("")), Rule::Linens);
    world.no("HK", make(stock("101")), Rule::Linens);
    world.no("HK", (room("101"), Body::BedMade { bed: code("C"), linens: stock("store") }), Rule::Place);
    world.ok("WASH", world.launder("101", "BAG1"));
    world.ok("HK", make(LinenSource::Bags(vec![code("BAG1")])));
    assert!(world.closed_by("A").contains(&Rule::BedsMade), "bed B is not made: every bed of the room is");
}

#[test]
pub(super) fn a_bed_made_before_its_mattress_was_found_dry_does_not_count() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.make("101", "A"));
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    let blockers = world.blockers("A");
    let made = blockers.iter().find(|b| b.rule == Rule::BedsMade).unwrap();
    assert!(made.text.contains("bed A"), "{}", made.text);
}

#[test]
pub(super) fn a_sprayed_soft_seat_is_vacuumed_after_it_dried() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.vacuum("101", "chair"));
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert!(world.closed_by("A").contains(&Rule::Vacuum));
    world.ok("HK", world.vacuum("101", "chair"));
    assert!(!world.closed_by("A").contains(&Rule::Vacuum));
}

#[test]
pub(super) fn spraying_with_a_patient_inside_is_refused_as_a_plan_and_noted_if_it_happened() {
    let mut world = World::open();
    world.ok("NURSE", world.occupied("101", "A"));
    let refusal = world.no("TECH", world.spray("101", SPRAYED_101, "BAG1"), Rule::PatientInside);
    assert_eq!(refusal.mend(), Some("move-patient"));
    let (place, mut body) = world.spray("101", SPRAYED_101, "BAG1");
    if let Body::Sprayed { patient_inside, .. } = &mut body {
        *patient_inside = Known::Yes;
    }
    world.ok("TECH", (place, body));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("A").contains(&Rule::Unstated), "the linens in use are treated: name them");
    assert!(world.board.exceptions().iter().any(|e| e.kind.to_string().contains("patient inside")));
    assert!(world.board.exceptions().iter().any(|e| e.kind.to_string().contains("WET")));
}

#[test]
pub(super) fn a_product_that_is_not_on_the_list_is_put_on_it_first() {
    let mut world = World::open();
    let (place, mut body) = world.spray("101", SPRAYED_101, "");
    if let Body::Sprayed { product, .. } = &mut body {
        *product = code("OTHER");
    }
    let refusal = world.no("TECH", (place.clone(), body.clone()), Rule::Label);
    assert_eq!(refusal.mend(), Some("set-product"));
    // What happened can be noted: an unlisted product has no label words on file.
    if let Body::Sprayed { product, reentry_words, reentry_minutes, .. } = &mut body {
        (*product, *reentry_words, *reentry_minutes) = (code("unlisted"), None, None);
    }
    world.ok("TECH", (place, body));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("A").contains(&Rule::Unstated));
}

#[test]
pub(super) fn wiping_a_wet_zone_takes_its_dry_check_and_its_treatment_back() {
    let mut world = World::ready_to_return();
    let wiped = |zones| (room("101"), Body::EnteredWet { wiped: zones, note: String::new() });
    world.ok("NURSE", wiped(zones("chair")));
    assert_eq!(world.state("101"), State::TreatedWet);
    assert!(world.closed_by("A").contains(&Rule::Coverage));
    assert!(world.board.exceptions().iter().any(|e| e.kind.to_string().contains("entered")));
}

#[test]
pub(super) fn a_finding_while_wet_stays_wet_and_becomes_confirmed_once_dry() {
    let mut world = World::sprayed();
    world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
    assert_eq!(world.state("101"), State::TreatedWet);
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    assert_eq!(world.state("101"), State::Confirmed);
}

#[test]
pub(super) fn another_finding_in_a_dry_room_blocks_the_return_until_an_inspection() {
    let mut world = World::ready_to_return();
    world.ok("HK", world.finding("101", &[Sign::CastSkin]));
    assert_eq!(world.state("101"), State::TreatedDry);
    let refusal = world.no("LEAD", world.give_back("101"), Rule::ReturnSigned);
    assert_eq!(refusal.mend(), Some("inspect"));
    world.ok("EYES", world.inspect("101", ALL_101));
    world.ok("LEAD", world.give_back("101"));
}

#[test]
pub(super) fn there_is_nothing_to_return_in_a_room_that_was_not_touched() {
    let mut world = World::open();
    world.no("LEAD", world.give_back("101"), Rule::NothingToReturn);
}

#[test]
pub(super) fn a_bed_made_while_the_dry_check_was_going_on_does_not_count() {
    let mut world = World::sprayed();
    world.to("11:40");
    let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.at("11:20");
    }
    world.ok("HK", (place, body));
    world.ok_at("HK", "11:25", world.make("101", "A"));
    world.ok("HK", world.make("101", "B"));
    let blockers = world.blockers("A");
    let made = blockers.iter().find(|b| b.rule == Rule::BedsMade).unwrap();
    assert!(made.text.contains("bed A") && !made.text.contains("bed B"), "{}", made.text);
}

#[test]
pub(super) fn no_bed_is_made_from_a_bag_that_did_not_end_in_the_laundry() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.ok(
        "HK",
        (room("101"), Body::BagEnded { bag: code("BAG1"), end: BagEnd::Destroyed { witness: code("LEAD") } }),
    );
    let linens = LinenSource::Bags(vec![code("BAG1")]);
    world.no("HK", (room("101"), Body::BedMade { bed: code("A"), linens }), Rule::Linens);
}

#[test]
pub(super) fn what_is_supplied_for_one_spray_does_nothing_for_another() {
    let mut world = World::open();
    world.to("09:00");
    let mut sprays = vec![];
    for _ in 0..2 {
        let (place, mut body) = world.spray("102", SPRAYED_102, "");
        if let Body::Sprayed { bags, .. } = &mut body {
            *bags = None;
        }
        sprays.push(world.ok("TECH", (place, body)));
    }
    let supply = |spray| Body::SprayCompleted {
        spray,
        zones: None,
        finished: None,
        bags: Some(vec![]),
        reentry_words: None,
        reentry_minutes: None,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    world.ok("TECH", (room("102"), supply(sprays[1])));
    assert!(world.closed_by("C").contains(&Rule::Unstated));
    world.ok("TECH", (room("102"), supply(sprays[0])));
    assert!(!world.closed_by("C").contains(&Rule::Unstated));
}

#[test]
pub(super) fn a_bed_is_not_made_from_linens_that_were_laundered_later() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
    world.to("12:10");
    world.ok("WASH", world.launder("101", "BAG1"));
    let linens = LinenSource::Bags(vec![code("BAG1")]);
    world.no_at("HK", "11:50", (room("101"), Body::BedMade { bed: code("A"), linens }), Rule::Linens);
}

#[test]
pub(super) fn a_check_begun_before_the_labels_minimum_counts_for_nothing_whoever_wrote_it() {
    let mut world = World::sprayed();
    world.to("11:20");
    let (place, mut body) = world.dry_check("101", SPRAYED_101, "");
    if let Body::DryChecked { began, .. } = &mut body {
        *began = world.at("11:05");
    }
    world.raw("HK", place, body);
    assert_eq!(world.state("101"), State::TreatedWet);
}

#[test]
pub(super) fn a_bag_that_nobody_finds_keeps_its_room_closed_and_is_told_as_an_exception() {
    let mut world = World::sprayed();
    world.to("11:30");
    world.ok("HK", (room("101"), Body::BagEnded { bag: code("BAG1"), end: BagEnd::Lost }));
    assert!(world.closed_by("A").contains(&Rule::Bags));
    assert!(world.exceptions().iter().any(|text| text == "bag BAG1 cannot be found"));
    // Found after all, and laundered.
    world.ok("WASH", world.launder("101", "BAG1"));
    assert!(!world.closed_by("A").contains(&Rule::Bags));
}
