//! The Tasks and the Bags by their keys: what is on top, what is folded, whose it is, and which form Enter opens.

use crossterm::event::KeyCode;
use dryhold::desk::Outcome;
use dryhold::domain::board::TaskKind;
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{BagEnd, Body, CommandId, Cycle, Known, Place};
use dryhold::domain::people::Role;
use dryhold::tui::{Answer, Effect, Msg, Noted, paint};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use super::Shown;
use super::seat::Seat;

impl Shown {
    /// With the first person of this role at the keyboard.
    fn signed_in(columns: u16, lines: u16, role: Role) -> Self {
        let mut it = Self::new(columns, lines);
        let person = it.desk.board().people().values().find(|person| person.role == role && person.pin_hash.is_none());
        it.app.person = Some(person.expect("somebody of the role").initials);
        it.tell(Msg::Changed);
        it
    }

    /// The line that the keys are on, and those below it that tell of it.
    fn chosen_line(&self) -> String {
        self.picture().lines().find(|line| line.starts_with('>')).unwrap_or_default().to_owned()
    }

    /// Walks down until the chosen line says this.
    #[track_caller]
    fn walk_to(&mut self, wanted: &str) {
        self.press(KeyCode::Home);
        let mut before = String::new();
        while !self.chosen_line().contains(wanted) {
            assert_ne!(before, self.detail(), "no line says “{wanted}”:\n{}", self.picture());
            before = self.detail();
            self.press(KeyCode::Down);
        }
    }

    /// The picture from the chosen line's title on.
    fn detail(&self) -> String {
        format!("{}\n{}", self.chosen_line(), self.picture())
    }

    /// Does what the screens asked for, as the program does.
    #[track_caller]
    fn carry_out(&mut self, effects: Vec<Effect>) -> Body {
        let [Effect::Note { wanted, person }] = effects.as_slice() else { panic!("{effects:?}\n{}", self.picture()) };
        let number = self.desk.board().last().map_or(0, |(number, _)| number.0);
        let mut command = Command::new(CommandId(number + 1_000_000), wanted.place.clone(), wanted.body.clone());
        command.happened = wanted.happened;
        command.done_by = wanted.done_by;
        match self.desk.note(&command, *person) {
            Outcome::Done(entry) => {
                self.answer(Answer::Noted(Noted::Done { number: entry.number, sentence: "done".to_owned() }));
                entry.body.clone()
            }
            Outcome::Refused(refusal) => panic!("{refusal}"),
            _ => panic!("not written"),
        }
    }
}

fn code(text: &str) -> Code {
    Code::new(text).expect("a code")
}

/// Lines from a heading to the next rule.
fn under(picture: &str, heading: &str) -> Vec<String> {
    let after = picture.lines().skip_while(|line| !line.starts_with(heading)).skip(1);
    after.take_while(|line| !line.contains("────")).map(str::to_owned).collect()
}

#[test]
fn what_gives_most_beds_back_stands_on_top_and_the_daily_looks_are_one_line_a_ward() {
    let mut it = Shown::new(160, 50);
    it.presses("3");
    let picture = it.picture();
    let best = under(&picture, "Gives most beds back");
    let most = it.app.survey.tasks.iter().filter(|task| task.due.is_some()).map(|task| task.gives.opens.len()).max();
    assert_eq!(best.len(), 1, "{picture}");
    assert!(best[0].contains(&format!("opens {} beds", most.expect("tasks"))), "{picture}");
    let looks = picture.lines().filter(|line| line.contains("daily look")).count();
    let wards = it.app.survey.wards.len();
    assert!(looks <= 2 * wards, "one line a ward, overdue and coming apart:\n{picture}");
    let coming = under(&picture, "Coming");
    assert!(coming.last().is_some_and(|line| line.contains("daily look")), "routine stands last:\n{picture}");
    assert!(!under(&picture, "Overdue").is_empty() && !under(&picture, "To do this shift").is_empty(), "{picture}");
    assert!(!under(&picture, "Waits for something else first").is_empty(), "{picture}");
}

#[test]
fn a_folded_line_opens_up_and_its_enter_is_the_wards_round() {
    let mut it = Shown::new(160, 50);
    it.presses("3");
    it.walk_to("daily look: 1");
    let before = it.picture();
    let line = it.chosen_line();
    let ward = line.trim_start_matches('>').split_whitespace().next().expect("a ward").to_owned();
    it.press(KeyCode::Char('t'));
    assert!(it.picture().contains("Right opens the line up"), "{}", it.picture());
    it.press(KeyCode::Right);
    assert_ne!(it.picture(), before);
    it.press(KeyCode::Down);
    assert!(it.chosen_line().starts_with("> ") && it.chosen_line().contains("daily look"), "{}", it.picture());
    it.press(KeyCode::Char('t'));
    assert!(it.picture().contains("Take or give a task"), "{}", it.picture());
    it.press(KeyCode::Esc);
    it.press(KeyCode::Left);
    assert_eq!(it.chosen_line(), line, "folded again, and the cursor is on it");
    it.press(KeyCode::Enter);
    assert!(it.picture().contains(&format!("Ward's daily looks: {ward}")), "{}", it.picture());
}

#[test]
fn a_task_is_taken_with_one_enter_and_then_says_who_has_it() {
    let mut it = Shown::signed_in(80, 24, Role::Lead);
    it.presses("3");
    let me = it.app.person.expect("somebody");
    // A second look is not for whoever voided: it is not taken, and Enter opens the room.
    assert!(it.chosen_line().contains("second look"), "{}", it.picture());
    it.press(KeyCode::Char('t'));
    assert!(it.picture().contains("somebody else takes it"), "{}", it.picture());
    assert!(it.picture().contains("Enter the room"), "{}", it.picture());
    it.press(KeyCode::Enter);
    assert!(it.picture().contains("not yours: for somebody who did not note or void it"), "{}", it.picture());
    it.press(KeyCode::Esc);
    it.walk_to("follow-up inspection");
    let first = it.chosen_line();
    it.press(KeyCode::Char('t'));
    let effects = it.press(KeyCode::Enter);
    let body = it.carry_out(effects);
    assert!(matches!(body, Body::TaskAccepted { by, .. } if by == me), "{body:?}");
    assert!(it.chosen_line().contains("you have it"), "{first}\n{}", it.picture());
    let other = it.desk.board().people().values().find(|person| person.initials != me && !person.left);
    it.app.person = other.map(|person| person.initials);
    it.tell(Msg::Changed);
    assert!(it.chosen_line().contains(&format!("{me} has it")), "{}", it.picture());
}

#[test]
fn f_lists_ones_own_then_each_roles_then_all() {
    let mut it = Shown::signed_in(160, 50, Role::Laundry);
    it.presses("3");
    let all = it.picture();
    assert!(all.contains("tasks, ") && all.contains(": everybody's"), "{all}");
    it.press(KeyCode::Char('f'));
    let mine = it.picture();
    assert!(mine.contains("may do ──") && mine.contains("launder bag"), "{mine}");
    assert!(!mine.contains("sign the return") && !mine.contains("dry check") && !mine.contains("daily look"), "{mine}");
    let mut seen = vec![];
    for _ in 0..9 {
        it.press(KeyCode::Char('f'));
        let title = it.picture().lines().nth(1).unwrap_or_default().to_owned();
        if title.contains("everybody's") {
            break;
        }
        seen.push(title);
    }
    let roles = Role::ALL.into_iter().filter(|role| it.app.survey.tasks.iter().any(|task| task.role == *role)).count();
    assert_eq!(seen.len(), roles, "each role that has a task: {seen:?}");
    assert_eq!(it.picture(), all, "and then everybody's again");
}

#[test]
fn enter_opens_the_form_of_exactly_the_chosen_task() {
    let mut it = Shown::signed_in(160, 50, Role::Lead);
    it.presses("3");
    let mut kinds: Vec<TaskKind> = vec![];
    let mut before = String::new();
    loop {
        let detail = it.picture();
        if detail == before {
            break;
        }
        before = detail;
        let title = before.lines().find(|line| line.starts_with("Room ")).unwrap_or_default().to_owned();
        let task = it.app.survey.tasks.iter().find(|task| {
            let names = format!("Room {}: {}", task.room, task.need);
            title.starts_with(&format!("{names} ")) && !kinds.contains(&task.kind)
        });
        if let Some(task) = task.cloned() {
            kinds.push(task.kind);
            it.press(KeyCode::Enter);
            let form = it.picture();
            let heading = form.lines().nth(1).unwrap_or_default().to_owned();
            assert!(heading.contains(task.room.as_str()), "{task:?}\n{form}");
            let thing = task.need.split_whitespace().last().expect("words").to_owned();
            match task.kind {
                TaskKind::Bag | TaskKind::MakeBed => assert!(heading.contains(&thing), "{task:?}\n{form}"),
                TaskKind::InService | TaskKind::SecondLook => assert!(form.contains(&thing), "{task:?}\n{form}"),
                TaskKind::FollowUp | TaskKind::Neighbour | TaskKind::Inspect => {
                    let depth = form.lines().find(|line| line.contains("Depth")).unwrap_or_default();
                    assert!(depth.contains("full"), "{task:?}\n{form}");
                }
                _ => {}
            }
            it.press(KeyCode::Esc);
        }
        it.press(KeyCode::Down);
    }
    assert!(kinds.len() >= 8, "the demo has most kinds: {kinds:?}");
}

#[test]
fn the_oldest_bag_stands_first_with_what_is_known_of_it_and_what_it_holds_up() {
    let mut it = Shown::new(160, 50);
    it.presses("4");
    let picture = it.picture();
    let out = under(&picture, "Not laundered: 4, oldest first, 1 overdue");
    assert_eq!(out.len(), 4, "{picture}");
    for words in
        ["3N10-C", "3N-10", ", late", "load failed: wash again, entry", "hygiene not met", "1 of 3 steps to 2 beds"]
    {
        assert!(out[0].contains(words), "{words}: {picture}");
    }
    assert!(out[1..].iter().all(|line| line.contains("out ") && line.contains("filled in the room")), "{picture}");
    assert!(!under(&picture, "Settled in the last day and a half").is_empty(), "{picture}");
    assert!(picture.contains("Bag 3N10-C of room 3N-10, out since"), "{picture}");
    it.press(KeyCode::Enter);
    assert!(it.picture().contains("Bag laundered: 3N10-C, room 3N-10"), "{}", it.picture());
    it.press(KeyCode::Esc);
    it.press(KeyCode::Char('d'));
    assert!(it.picture().contains("Bag ended otherwise, or lost: 3N10-C, room 3N-10"), "{}", it.picture());
}

#[test]
fn a_tag_that_is_out_from_two_rooms_is_two_bags() {
    let mut it = Shown::signed_in(160, 50, Role::Lead);
    let (me, place) = (it.app.person.expect("somebody"), Place::room(code("4N-06")));
    let body = Body::Prepared { steps: vec![], bags: vec![code("3N10-C")], note: String::new() };
    assert!(matches!(it.desk.note(&Command::new(CommandId(1_000_007), place, body), me), Outcome::Done(_)));
    it.tell(Msg::Changed);
    it.presses("4");
    for (room, other) in [("3N-10", "4N-06"), ("4N-06", "3N-10")] {
        it.walk_to(room);
        it.tell(Msg::Changed);
        let line = it.chosen_line();
        assert!(line.contains("3N10-C") && line.contains(room), "the line stays chosen: {}", it.picture());
        for (key, title) in [(KeyCode::Enter, "Bag laundered"), (KeyCode::Char('d'), "Bag ended otherwise, or lost")] {
            it.press(key);
            let form = it.picture();
            assert!(form.contains(&format!("{title}: 3N10-C, room {room}")) && !form.contains(other), "{form}");
            it.press(KeyCode::Esc);
        }
    }
    // From the room's own moves as well.
    it.presses("1/4N-06\nmbag laundered\n");
    let form = it.picture();
    assert!(form.contains("Bag laundered: 3N10-C, room 4N-06") && form.contains("4N-06"), "{form}");
}

/// The cursor stays among the bags that are out: the next digit is no answer to a settled one.
#[test]
fn a_bag_that_was_just_settled_does_not_take_the_cursor_along() {
    let mut it = Shown::signed_in(160, 50, Role::Lead);
    let me = it.app.person.expect("somebody");
    it.presses("4");
    it.walk_to("3N10-C");
    let body = Body::BagEnded { bag: code("3N10-C"), end: BagEnd::Destroyed { witness: code("CN") } };
    let done = it.desk.note(&Command::new(CommandId(1_000_009), Place::room(code("3N-10")), body), me);
    assert!(matches!(done, Outcome::Done(_)), "not noted");
    it.tell(Msg::Changed);
    let line = it.chosen_line();
    assert!(!line.contains("3N10-C"), "{line}\n{}", it.picture());
    assert!(line.contains("out "), "{line}");
}

#[test]
fn a_settled_bag_is_listed_with_who_settled_it_and_opens_its_entry() {
    let mut it = Shown::signed_in(160, 50, Role::Lead);
    let me = it.app.person.expect("somebody");
    it.presses("4");
    let cycle =
        Cycle { wash_decicelsius: Some(750), wash_minutes: Some(30), detergent: Known::Yes, ..Cycle::default() };
    let body = Body::Laundered { bag: code("3N10-C"), cycle, slip: String::new() };
    let done = it.desk.note(&Command::new(CommandId(1_000_008), Place::room(code("3N-10")), body), me);
    let Outcome::Done(entry) = done else { panic!("not noted") };
    let number = entry.number;
    it.tell(Msg::Changed);
    let picture = it.picture();
    assert!(under(&picture, "Not laundered: 3").iter().all(|line| !line.contains("3N10-C")), "{picture}");
    let settled = under(&picture, "Settled in the last day and a half");
    assert!(settled[0].contains("3N10-C") && settled[0].contains(&format!("laundered by {me}")), "{picture}");
    it.walk_to("3N10-C");
    let history = it.picture();
    assert!(history.contains(&format!("settled by entry {number}")) && history.contains("failed: "), "{history}");
    it.press(KeyCode::Char('d'));
    assert!(it.picture().contains("There is no bag here that is out."), "{}", it.picture());
    it.press(KeyCode::Enter);
    assert!(it.picture().contains(&format!("Entry {number}")), "{}", it.picture());
}

#[test]
fn where_nothing_is_listed_a_sentence_says_so() {
    let mut it = Shown::new(80, 24);
    it.presses("4ww");
    assert!(it.picture().contains("No bag is out: every one that was filled"), "{}", it.picture());
    assert!(it.picture().contains("4N: Not laundered: 0"), "{}", it.picture());
    let mut it = Shown::signed_in(80, 24, Role::Reader);
    it.presses("3f");
    assert!(it.picture().contains("No tasks here. f lists everybody's"), "{}", it.picture());
    assert_eq!(it.press(KeyCode::Enter), []);
    it.press(KeyCode::Char('t'));
    assert!(it.picture().contains("There is no task here to take."), "{}", it.picture());
}

/// Snapshots lose colour, so it is looked at here: what is chosen is reversed and has the cursor, a state is a chip.
#[test]
fn the_chosen_line_is_reversed_marked_and_has_the_cursor() {
    for screen in ["3", "4"] {
        let mut it = Shown::new(80, 24);
        it.presses(screen);
        it.press(KeyCode::Down);
        let area = Rect::new(0, 0, 80, 24);
        let mut buffer = Buffer::empty(area);
        let cursor = paint(&it.app, area, &mut buffer).expect("a cursor");
        let cell = |x: u16| buffer.cell((x, cursor.y)).expect("a cell").clone();
        assert_eq!((cell(0).symbol(), cursor.x), (">", 0), "{}", it.picture());
        assert!(cell(1).modifier.contains(Modifier::REVERSED), "{}", it.picture());
        let reversed =
            (0..24).filter(|y| buffer.cell((0, *y)).is_some_and(|it| it.modifier.contains(Modifier::REVERSED)));
        assert_eq!(reversed.count(), 1, "one line is chosen: {}", it.picture());
        let signs =
            (1..16).filter_map(|y| (6..20).map(|x| buffer.cell((x, y)).expect("a cell")).find(|it| it.symbol() == "="));
        let chips: Vec<_> = signs.map(|cell| (cell.fg, cell.bg)).collect();
        assert!(
            !chips.is_empty() && chips.iter().all(|it| *it == (Color::Black, Color::Gray)),
            "{chips:?}\n{}",
            it.picture()
        );
    }
}

#[test]
fn a_room_is_found_without_its_dash() {
    for typed in ["3n07", "3N 07", "3n-07", "3n07a"] {
        let mut it = Shown::new(80, 24);
        it.presses(&format!("/{typed}\n"));
        assert!(it.picture().contains("3N-07  patient room"), "{typed}: {}", it.picture());
    }
}

#[test]
fn a_task_that_could_not_be_done_says_why_below_its_line() {
    let mut it = Seat::demo(80, 24);
    it.notes("HK", "could-not", "4N-08", &[("why", "patient asleep, comes back later"), ("again", "13:00")]);
    it.keys("3");
    let below = |picture: &str, begin: &str| {
        let at =
            picture.lines().position(|line| line.starts_with(begin)).unwrap_or_else(|| panic!("{begin}: {picture}"));
        picture.lines().nth(at + 1).unwrap_or_default().trim().to_owned()
    };
    assert_eq!(below(&it.picture(), " 4N-08 :"), "not possible 11:30: patient asleep, comes back later; again 13:00");
    // Of a ward's round each room that could not be looked at.
    let mut it = Seat::demo(160, 50);
    it.notes("HK", "could-not", "5N-05", &[("why", "the plumber is in it")]);
    it.keys("3");
    assert_eq!(below(&it.picture(), " 5N    ward"), "5N-05: not possible 11:30: the plumber is in it");
}
