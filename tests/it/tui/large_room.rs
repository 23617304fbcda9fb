//! The Room of a room that is larger than any screen: the longest codes, 12 beds, 60 zones, 500 entries that do not fold.
//! Wherever the keys go, what must not be missed stays in sight.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::domain::board::State;
use dryhold::domain::entry::{Body, Entry, Number, Place, Purpose, Sign};
use dryhold::domain::facility::{Bed, ZoneGroup, ZonePlan, ZoneTreatment};
use dryhold::tui::look::{Look, Palette, Part, chip_colours};
use dryhold::tui::{Answer, App, Msg, Noted, World, answered, paint, update};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Modifier;

use crate::rules::world::{self, code, zone};

/// As long as a code can be.
const ROOM: &str = "NORTH-WING-ROOM-0001";
const KIND: &str = "long-stay-dormitory";

fn bed(at: usize) -> String {
    format!("NORTH-WING-BED-{at:05}")
}

fn plan(part: String, per_bed: bool, group: ZoneGroup) -> ZonePlan {
    ZonePlan {
        part: code(&part),
        name: part,
        group,
        per_bed,
        treatment: ZoneTreatment::Spray,
        soft_seat: false,
        mattress: per_bed,
        daily: false,
        hiding_place: true,
        critical: false,
        caution: String::new(),
    }
}

/// A room with 12 beds and 60 zones, found infested 480 times and sprayed then: wet everywhere.
fn hospital() -> world::World {
    let mut world = world::World::open();
    let of_beds = (0..4).map(|at| plan(format!("part-of-the-bed-no-{at}"), true, ZoneGroup::Bed));
    let groups = [ZoneGroup::Seating, ZoneGroup::Storage, ZoneGroup::RoomEdges];
    let of_room = (0..12).map(|at| plan(format!("part-of-the-room-{at:02}"), false, groups[at % groups.len()]));
    let body = Body::ZonesSet { kind: code(KIND), zones: of_beds.chain(of_room).collect() };
    world.raw("LEAD", Place::Hospital, body);
    let body = Body::RoomSet {
        name: "The long dormitory at the north end of the ward, beside the garden".to_owned(),
        ward: code("W1"),
        kind: code(KIND),
        order: 9,
        beds: (0..12).map(|at| Bed { code: code(&bed(at)), features: vec!["window".to_owned()] }).collect(),
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    };
    world.raw("LEAD", Place::room(code(ROOM)), body);
    for _ in 0..480 {
        world.ok("TECH", world.finding(ROOM, &[Sign::LiveAdult]));
    }
    let plan = world.board.facility().room(code(ROOM)).expect("the room").clone();
    let all: Vec<String> = plan.all_zones().map(|zone| zone.to_string()).collect();
    assert_eq!((plan.beds.len(), all.len()), (12, 60));
    let (place, mut body) = world.spray(ROOM, &all.join(" "), "");
    if let Body::Sprayed { purpose, bags, .. } = &mut body {
        (*purpose, *bags) = (Purpose::Infested, Some((0..20).map(|at| code(&format!("BAG-NUMBER-{at:05}"))).collect()));
    }
    world.ok("TECH", (place, body));
    assert_eq!(world.state(ROOM), State::TreatedWet);
    assert!(world.board.evidence(code(ROOM)).iter().any(|it| it.need.to_string().contains(&zone(&all[0]).to_string())));
    world
}

struct Seen {
    story: world::World,
    app: App,
}

impl Seen {
    fn new(story: world::World, look: Look, columns: u16, lines: u16) -> Self {
        let app = with_world(&story, |world| App::new(look, columns, lines, Some(code("LEAD")), world));
        let mut it = Self { story, app };
        it.press(KeyCode::Char('/'));
        ROOM.chars().for_each(|key| it.press(KeyCode::Char(key)));
        it.press(KeyCode::Enter);
        it
    }

    fn answer(&mut self, answer: Answer) {
        let app = &mut self.app;
        with_world(&self.story, |world| drop(answered(app, world, answer)));
    }

    fn tell(&mut self, msg: Msg) {
        let app = &mut self.app;
        with_world(&self.story, |world| update(app, world, msg));
    }

    fn press(&mut self, key: KeyCode) {
        self.tell(Msg::Key(KeyEvent::new(key, KeyModifiers::NONE)));
    }

    fn paint(&self) -> (Buffer, Option<Position>) {
        let area = Rect::new(0, 0, self.app.width, self.app.height);
        let mut buffer = Buffer::empty(area);
        let cursor = paint(&self.app, area, &mut buffer);
        (buffer, cursor)
    }

    /// The picture's lines, and the number of the one that the cursor is on.
    fn lines(&self) -> (Vec<String>, usize) {
        let (buffer, cursor) = self.paint();
        let width = usize::from(self.app.width);
        let line = |cells: &[ratatui::buffer::Cell]| cells.iter().map(|cell| cell.symbol()).collect::<String>();
        let at = cursor.map(|at| usize::from(at.y)).expect("the cursor is where the keys are");
        (buffer.content.chunks(width).map(line).collect(), at)
    }

    #[track_caller]
    fn check(&self, after: &str) {
        let (lines, at) = self.lines();
        let text = lines.join("\n");
        assert!(text.contains("DO NOT ENTER"), "after {after}:\n{text}");
        assert!(text.contains("Next: check by touch, gloved: 60 zones not found dry"), "after {after}:\n{text}");
        assert!(text.contains(ROOM), "after {after}:\n{text}");
        let marked: Vec<usize> = (0..lines.len()).filter(|at| lines[*at].contains('>')).collect();
        assert_eq!(marked, [at], "after {after} the cursor and the only mark are on one line:\n{text}");
    }
}

fn with_world<T>(story: &world::World, look: impl FnOnce(&World<'_>) -> T) -> T {
    let timeline = |room| {
        let touches = |entry: &&Entry| matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room));
        story.entries.iter().rev().filter(touches).collect::<Vec<_>>()
    };
    let (board, now, entries) = (&story.board, story.now, story.entries.as_slice());
    look(&World { rehearsal: false, ..World::of(board, now, entries, &timeline) })
}

/// The cell at which this text begins.
#[track_caller]
fn cell_of(buffer: &Buffer, text: &str) -> ratatui::buffer::Cell {
    let width = usize::from(buffer.area.width);
    let lines = buffer.content.chunks(width);
    let symbols =
        |cells: &[ratatui::buffer::Cell]| cells.iter().map(|cell| cell.symbol().to_owned()).collect::<Vec<_>>();
    for cells in lines {
        let line = symbols(cells);
        let starts = (0..line.len()).find(|at| line[*at..].concat().starts_with(text));
        if let Some(at) = starts {
            return cells[at].clone();
        }
    }
    panic!("{text:?} is not on the screen");
}

#[test]
fn a_room_larger_than_the_screen_hides_neither_its_warning_nor_its_next_step() {
    let story = hospital();
    for (columns, lines) in [(80, 24), (160, 50)] {
        let mut it = Seen::new(story.clone(), Look::default(), columns, lines);
        it.check("opening");
        let mut last = vec![];
        let mut steps = 0;
        while it.lines().0 != last {
            last = it.lines().0;
            it.press(KeyCode::Down);
            steps += 1;
            it.check(&format!("{steps} times Down at {columns}x{lines}"));
        }
        assert!(steps > 490, "every entry can be walked to: {steps}");
        for key in [KeyCode::Home, KeyCode::PageDown, KeyCode::PageDown, KeyCode::End, KeyCode::PageUp, KeyCode::Up] {
            it.press(key);
            it.check(&format!("{key:?} at {columns}x{lines}"));
        }
    }
}

#[test]
fn what_is_below_the_screen_is_said_and_the_first_page_says_it() {
    let it = Seen::new(hospital(), Look::default(), 80, 24);
    let (lines, _) = it.lines();
    let text = lines.join("\n");
    assert!(text.contains("PgDn"), "{text}");
}

/// Enter, …, Enter walks the whole job: after each note the keys are on the next step.
#[test]
fn after_something_was_noted_the_keys_are_on_the_next_step() {
    let mut it = Seen::new(hospital(), Look::default(), 80, 24);
    let on_next = |it: &Seen| {
        let (lines, at) = it.lines();
        lines[at].starts_with(">Next")
    };
    assert!(on_next(&it));
    it.press(KeyCode::End);
    assert!(!on_next(&it));
    it.press(KeyCode::Char('n'));
    assert!(!on_next(&it), "a form is open");
    it.answer(Answer::Noted(Noted::Done { number: Number(9), sentence: "dry check".to_owned() }));
    assert!(on_next(&it), "{}", it.lines().0.join("\n"));
}

#[test]
fn the_warning_is_a_chip_and_the_chosen_line_is_reversed_without_colour() {
    let story = hospital();
    let colours = |palette, part| chip_colours(palette, part).expect("a chip");
    for palette in [Palette::Sixteen, Palette::Light, Palette::Dark] {
        let it = Seen::new(story.clone(), Look { palette, ascii: false }, 80, 24);
        let (buffer, _) = it.paint();
        let cell = cell_of(&buffer, "DO NOT ENTER");
        let chips = [Part::No, Part::Wet].map(|part| colours(palette, part));
        assert!(chips.contains(&(cell.fg, cell.bg)), "{palette:?}: {cell:?}");
        let cell = cell_of(&buffer, "~ treated-wet");
        assert_eq!((cell.fg, cell.bg), colours(palette, Part::Wet), "{palette:?}");
    }
    let mut it = Seen::new(story, Look { palette: Palette::Mono, ascii: true }, 80, 24);
    for key in [KeyCode::Home, KeyCode::Down, KeyCode::PageDown, KeyCode::End] {
        it.press(key);
        let (buffer, cursor) = it.paint();
        let at = cursor.expect("a cursor");
        let chosen = buffer.cell(at).expect("inside");
        assert_eq!(chosen.symbol(), ">", "{key:?}");
        assert!(chosen.modifier.contains(Modifier::REVERSED), "{key:?}");
        let reversed = buffer.content.iter().enumerate().filter(|(_, it)| it.modifier.contains(Modifier::REVERSED));
        let lines: Vec<usize> = reversed.map(|(cell, _)| cell / usize::from(buffer.area.width)).collect();
        assert!(lines.iter().all(|line| *line == usize::from(at.y)), "{key:?}: one line is reversed, {lines:?}");
        assert!(buffer.content.iter().all(|cell| cell.symbol().is_ascii()), "{key:?}");
        let warning = cell_of(&buffer, "DO NOT ENTER");
        assert!(warning.modifier.contains(Modifier::BOLD), "{warning:?}");
    }
}
