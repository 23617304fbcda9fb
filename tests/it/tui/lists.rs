//! The Tasks and the Bags by their keys: what is on top, what is folded, whose it is, and which form Enter opens.

use crossterm::event::KeyCode;
use dryhold::desk::Outcome;
use dryhold::domain::board::TaskKind;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{Body, CommandId};
use dryhold::domain::people::Role;
use dryhold::tui::{Effect, Msg, Noted};

use super::Shown;

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
                self.tell(Msg::Noted(Noted::Done { number: entry.number, sentence: "done".to_owned() }));
                entry.body.clone()
            }
            Outcome::Refused(refusal) => panic!("{refusal}"),
            _ => panic!("not written"),
        }
    }
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
    assert!(it.picture().contains("Take a task"), "{}", it.picture());
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
            assert!(heading.contains(&format!("room {}", task.room)), "{task:?}\n{form}");
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
