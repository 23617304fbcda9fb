//! Room lists in, hospitals or faults out.

use std::fmt::Write;

use super::*;
use crate::domain::facility::{Side, ZoneTreatment};
use crate::domain::surfaces::{FLOORS_M2, floor_m2, zone_surfaces};
use crate::science::evaporation::Behind;

fn list(text: &str) -> RoomList {
    parse_rooms(text.as_bytes(), false).unwrap()
}

#[track_caller]
fn check_fault(text: &str, expected: &str) {
    let faults = parse_rooms(text.as_bytes(), false).expect_err("the list has a fault");
    let shown = faults.iter().map(Fault::to_string).collect::<Vec<_>>().join("\n");
    assert!(shown.contains(expected), "{shown}");
    assert!(shown.lines().all(|line| unprintable(line).is_none()), "{shown:?}");
}

/// `left 1, right 3` of one room, in the order of the sides.
fn around(list: &RoomList, room: &str) -> String {
    let room = list.rooms.iter().find(|it| it.code == Code::new(room).unwrap()).unwrap();
    let sides: Vec<String> = room.neighbours.iter().map(|it| format!("{} {}", it.side.word(), it.room)).collect();
    sides.join(", ")
}

#[test]
fn the_sample_makes_a_hospital() {
    let list = list(SAMPLE);
    assert_eq!((list.wards.len(), list.rooms.len(), list.beds()), (2, 8, 7));
    assert!(list.warnings.is_empty(), "{:?}", list.warnings);
    assert_eq!(list.rooms[2].beds[0].features, ["bariatric", "window"]);
    assert_eq!(list.wards[0].name, "Fourth floor north");
    assert_eq!(list.rooms.iter().map(|it| it.order).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 1, 2, 3]);
}

#[test]
fn neighbours_come_from_the_walk_and_from_the_wards_above_and_below() {
    let list = list("ward,floor,room,beds\nA,1,1,1a\nA,1,2,2a\nA,1,3,3a\nB,2,11,11a\nB,2,12,12a\n");
    assert_eq!(around(&list, "1"), "right 2, above 11");
    assert_eq!(around(&list, "2"), "left 1, right 3, above 12");
    assert_eq!(around(&list, "3"), "left 2");
    assert_eq!(around(&list, "12"), "left 11, below 2");
    assert_eq!(list.worked_out, 10);
}

#[test]
fn given_neighbours_win_and_hold_for_both_rooms() {
    let list = list("ward,floor,room,beds,right,opposite\nA,1,1,1a,3,\nA,1,2,2a,-,3\nA,1,3,3a,,\n");
    assert_eq!(around(&list, "1"), "right 3");
    assert_eq!(around(&list, "2"), "opposite 3", "its row says that nobody is on its right");
    assert_eq!(around(&list, "3"), "left 1, opposite 2");
    assert_eq!(list.worked_out, 2);
}

#[test]
fn every_neighbour_that_was_worked_out_is_one_in_both_directions() {
    let list = list(SAMPLE);
    let mirror = |side| match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Opposite => Side::Opposite,
        Side::Above => Side::Below,
        Side::Below => Side::Above,
    };
    for room in &list.rooms {
        for neighbour in &room.neighbours {
            let other = list.rooms.iter().find(|it| it.code == neighbour.room).unwrap();
            let back = Neighbour { side: mirror(neighbour.side), room: room.code };
            assert!(other.neighbours.contains(&back), "{} and {}", room.code, other.code);
        }
    }
}

#[test]
fn a_shared_space_stands_between_no_two_rooms_and_two_wings_are_not_stacked() {
    let bathroom = list("ward,room,beds,kind,serves\nA,1,1a,,\nA,B,,bathroom,1 2\nA,2,2a,,\n");
    assert_eq!(around(&bathroom, "1"), "right 2");
    assert_eq!(around(&bathroom, "B"), "");
    assert_eq!(bathroom.rooms[1].serves, [Code::new("1").unwrap(), Code::new("2").unwrap()]);
    let wings = list("ward,floor,room,beds\nA,1,1,1a\nB,1,2,2a\nC,2,3,3a\n");
    assert_eq!(wings.worked_out, 0);
}

#[test]
fn codes_are_used_once_in_the_whole_hospital_without_regard_to_case() {
    check_fault(
        "ward,room,beds\nA,r1,x\nA,R1,y\n",
        "line 3, column room: “R1” is already the code of a room, in line 2",
    );
    check_fault("ward,room,beds\nA,1,A-1\nB,2,a-1\n", "“a-1” is already the code of a bed, in line 2");
    check_fault("ward,room,beds\nA,1,1\n", "“1” is already the code of a room");
    check_fault("ward,room,beds\nA,1,x\nA,2,x\n", "write 2-x");
    check_fault("ward,room,beds\nA,a,x\n", "already the code of a ward");
}

#[test]
fn every_fault_is_collected_with_its_line_and_column() {
    let text = "ward,floor,room,kind,beds\nA,first,1,,1a\nA,,,,2a\nA,2,3,cellar,\nA,,4,,\nA,,é,,5a\n";
    let faults = parse_rooms(text.as_bytes(), false).unwrap_err();
    let places: Vec<(u64, &str)> = faults.iter().map(|it| (it.line, it.column.as_str())).collect();
    let expected = [(2, "floor"), (3, "room"), (4, "floor"), (4, "kind"), (5, "kind"), (6, "room")];
    assert_eq!(places, expected, "{faults:?}");
}

#[test]
fn rooms_that_do_not_exist_cannot_be_neighbours_or_be_served() {
    check_fault("ward,room,beds,left\nA,1,1a,9\n", "line 2, column left: there is no room “9”");
    check_fault("ward,room,beds,left\nA,1,1a,A\n", "there is no room “A”");
    check_fault("ward,room,beds,serves\nA,1,1a,1\n", "column serves: room 1 names itself");
}

#[test]
fn a_ward_has_one_name_and_one_floor() {
    check_fault(
        "ward,ward_name,room,beds\nA,North,1,1a\nA,South,2,2a\n",
        "ward A is named “South” here, and “North” in line 2",
    );
    check_fault("ward,floor,room,beds\nA,1,1,1a\nA,2,2,2a\n", "line 3, column floor: ward A is on another floor");
}

#[test]
fn names_of_any_script_are_kept_and_control_characters_refused() {
    let names = list("ward,ward_name,room,room_name,beds\nA,قسم,1,חדר 🛏️,1a\nA,,2,\"a \"\"b\"\", c\",2a\n");
    assert_eq!(names.wards[0].name, "قسم");
    assert_eq!((names.rooms[0].name.as_str(), names.rooms[1].name.as_str()), ("חדר 🛏️", "a \"b\", c"));
    check_fault(
        "ward,room,room_name,beds\nA,1,a\u{1b}[31mb,1a\n",
        "line 2, column room_name: the text holds the control",
    );
    check_fault("ward,room,room_name,beds\nA,1,\"a\nb\",1a\n", "a line break");
    check_fault("ward,room,room_name,beds\nA,1,a\u{202e}b,1a\n", "hidden direction mark");
    check_fault(&format!("ward,room,room_name,beds\nA,1,{},1a\n", "x".repeat(81)), "longer than 80");
}

#[test]
fn byte_order_marks_and_windows_line_ends_change_nothing() {
    let windows = format!("\u{feff}{}", SAMPLE.replace('\n', "\r\n"));
    assert!(list(&windows) == list(SAMPLE), "{:?}", list(&windows).wards);
}

#[test]
fn lists_without_beds_or_rooms_are_noticed() {
    assert!(list("ward,room,kind\nA,1,day-room\n").warnings[0].contains("no room has a bed"));
    assert!(list("ward,room,kind,beds\nA,1,day-room,\nB,2,,2a\n").warnings[0].contains("ward A has no beds"));
    check_fault("ward,room\n", "there are no rooms");
    check_fault("ward,room\nA,1\n", "a room without beds needs a kind");
}

#[test]
fn five_thousand_rooms_are_read() {
    let mut text = "ward,floor,room,beds\n".to_owned();
    for room in 0..5000 {
        writeln!(text, "W{},{},R{room},R{room}-A;R{room}-B", room / 50, room / 50).unwrap();
    }
    let list = list(&text);
    assert_eq!((list.wards.len(), list.rooms.len(), list.beds()), (100, 5000, 10_000));
    // 49 pairs in each of 100 walks, 50 pairs between each two of 100 floors, both ways.
    assert_eq!(list.worked_out, 2 * (100 * 49 + 99 * 50));
}

#[test]
fn the_same_hospital_can_be_written_as_ron_with_zones_of_its_own() {
    let ron = r#"(wards: [(code: "A", name: "North", floor: 1, rooms: [
        (code: "1", beds: ["1a:window", "1b"]),
        (code: "lab 2", kind: "lab", serves: ["1"]),
    ])], zones: [(kind: "lab", zones: [(part: "bench", group: Storage, treatment: InspectOnly)])])"#;
    let list = parse_rooms(ron.as_bytes(), true).unwrap();
    assert_eq!((list.rooms.len(), list.beds()), (2, 2));
    assert_eq!(list.rooms[1].kind, Code::new("lab").unwrap());
    assert_eq!(list.zone_sets.len(), default_zone_sets().unwrap().len() + 1);
    let faults = parse_rooms(ron.replace("\"1b\"", "\"1A\"").as_bytes(), true).unwrap_err();
    assert_eq!((faults.len(), faults[0].line), (1, 2), "{faults:?}");
}

#[test]
fn how_large_a_floor_is_may_be_given_and_is_no_storey() {
    let with = |floor: &str| format!("ward,floor,room,beds,floor_m2\nA,3,1,1a,{floor}\nA,3,2,2a,\n");
    let floors = |text: &str| list(text).rooms.iter().map(|it| it.floor_dm2).collect::<Vec<_>>();
    assert_eq!(floors(&with("18.5")), [Some(1850), None]);
    assert_eq!(floors("ward,room,beds\nA,1,1a\n"), [None]);
    for wrong in ["0", "-4", "NaN", "501", "large"] {
        check_fault(&with(wrong), "line 2, column floor_m2");
        check_fault(&with(wrong), "Write its area in m², 1 to 500");
    }
    let ron =
        "(wards: [(code: \"A\", rooms: [(code: \"1\", beds: [\"1a\"], floor_m2: 24), (code: \"2\", beds: [\"2a\"])])])";
    let read = parse_rooms(ron.as_bytes(), true).unwrap();
    assert_eq!(read.rooms.iter().map(|it| it.floor_dm2).collect::<Vec<_>>(), [Some(2400), None]);
    for wrong in ["0", "NaN", "1e9"] {
        let faults = parse_rooms(ron.replace("24", wrong).as_bytes(), true).unwrap_err();
        assert!(faults[0].to_string().contains("is no floor of a room"), "{faults:?}");
    }
}

#[test]
fn settings_come_in_the_order_in_which_they_rest_on_each_other() {
    let lead = parse_lead("LD,L. Dorn").unwrap();
    let entries = list(SAMPLE).entries("Invented hospital", lead);
    let kinds: Vec<u8> = entries
        .iter()
        .map(|(_, body)| match body {
            Body::HospitalSet { .. } => 0,
            Body::ZonesSet { .. } => 1,
            Body::WardSet { .. } => 2,
            Body::RoomSet { .. } => 3,
            Body::PersonSet(_) => 4,
            _ => 9,
        })
        .collect();
    assert!(kinds.is_sorted(), "{kinds:?}");
    assert_eq!(entries.len(), 1 + 5 + 2 + 8 + 1);
    assert!(entries.iter().all(|(_, body)| body.is_setting()));
}

#[test]
fn every_fault_is_named_at_once_by_line() {
    let faults = parse_rooms(b"ward,room,beds,kind,left\nA,1,1a,dayrum,9\nA,2,2a,,1\nA,3,,,2\n", false).unwrap_err();
    let said: Vec<String> = faults.iter().map(Fault::to_string).collect();
    assert_eq!(said.len(), 3, "{said:?}");
    for (said, part) in said.iter().zip(["no kind of room “dayrum”", "no room “9”", "a room without beds needs a kind"])
    {
        assert!(said.contains(part), "{said}");
    }
}

#[test]
fn the_summary_counts_and_names_the_next_step() {
    let lines = list(SAMPLE).summary(Code::new("LD").unwrap(), None);
    assert!(lines[0].starts_with("Made 2 wards, 8 rooms and 7 beds; worked out "), "{lines:?}");
    assert!(lines.iter().any(|line| line.contains("dryhold note ward-walk 4N --as LD")), "{lines:?}");
    let lines = list(SAMPLE).summary(Code::new("LD").unwrap(), Some(Path::new("a b/new.ron")));
    let command = "dryhold --ledger 'a b/new.ron' note ward-walk 4N --as LD";
    assert!(lines.iter().any(|line| line.contains(command)), "{lines:?}");
}

#[test]
fn a_lead_is_initials_and_a_name() {
    let lead = parse_lead("LD,\"L. Dorn\"").unwrap();
    assert_eq!((lead.initials.as_str(), lead.name.as_str(), lead.role), ("LD", "L. Dorn", Role::Lead));
    for text in ["LD", "LD,", ",L. Dorn", "L|D,L. Dorn", "LD,a\u{1b}b"] {
        let said = parse_lead(text).unwrap_err().to_string();
        assert!(said.contains("initials, a comma and a name") && unprintable(&said).is_none(), "{said:?}");
    }
}

#[test]
fn a_file_that_is_not_there_is_said_to_be_so() {
    let missing = read_rooms(Path::new("no-such-folder/rooms.csv")).unwrap_err().to_string();
    assert!(missing.starts_with("no-such-folder/rooms.csv: cannot be read"), "{missing}");
}

#[test]
fn every_zone_that_may_be_sprayed_has_a_surface_to_estimate_with_and_no_other_has() {
    for set in default_zone_sets().unwrap() {
        let kind = set.kind.as_str();
        let sprayable = set.zones.iter().filter(|zone| zone.treatment == ZoneTreatment::Spray);
        let sprayable: Vec<&str> = sprayable.map(|zone| zone.part.as_str()).collect();
        let surfaces = zone_surfaces(kind);
        assert_eq!(surfaces.iter().map(|it| it.part).collect::<Vec<_>>(), sprayable, "{kind}");
        assert!(surfaces.iter().all(|it| it.area_m2 > 0.0), "{kind}");
        for zone in set.zones.iter().filter(|zone| zone.mattress || zone.soft_seat) {
            let surface = surfaces.iter().find(|it| it.part == zone.part.as_str()).unwrap();
            assert_eq!(surface.behind, Behind::Soft, "{kind} {}", zone.part);
        }
        assert!(floor_m2(kind).is_some(), "{kind}");
    }
    assert_eq!(FLOORS_M2.len(), default_zone_sets().unwrap().len());
}
