//! Clocks that disagree: what a wrong one closes, who says which it was, and how the beds open again.

use chrono::TimeDelta;
use dryhold::domain::board::Board;
use dryhold::domain::decide::{Command, Refusal, decide};
use dryhold::domain::entry::{Body, CommandId, Number, Place, Sign, Time, WhichClock};
use dryhold::domain::rule::Rule;

use super::world::{SPRAYED_101, SPRAYED_102, World, code};

const BEDS: [&str; 4] = ["A", "B", "C", "D"];

/// The hospital, with terminals whose clocks are off. `world.now` is the time on the wall.
pub struct House {
    pub world: World,
    off: Vec<(&'static str, TimeDelta)>,
}

impl House {
    /// Open at 09:00, with the shift's note of empty beds made at the desk, whose clock is right.
    pub fn open(off: &[(&'static str, TimeDelta)]) -> Self {
        let mut world = World::open();
        world.to("09:00");
        Self { world, off: off.to_vec() }
    }

    /// What this terminal takes the time to be.
    fn shows(&self, terminal: &str) -> Time {
        let off = self.off.iter().find(|(name, _)| *name == terminal).map(|(_, off)| *off).unwrap_or_default();
        self.world.now + off + self.world.board.clock_offset(terminal)
    }

    pub fn try_at(
        &mut self,
        terminal: &str,
        person: &str,
        make: impl FnOnce(&World) -> (Place, Body),
    ) -> Result<Number, Refusal> {
        self.try_since(terminal, person, TimeDelta::zero(), make)
    }

    /// What began so long before it is noted.
    #[track_caller]
    pub fn since(
        &mut self,
        terminal: &str,
        person: &str,
        ago: TimeDelta,
        make: impl FnOnce(&World) -> (Place, Body),
    ) -> Number {
        self.try_since(terminal, person, ago, make).unwrap_or_else(|no| panic!("refused ({}): {no}", no.rule()))
    }

    fn try_since(
        &mut self,
        terminal: &str,
        person: &str,
        ago: TimeDelta,
        make: impl FnOnce(&World) -> (Place, Body),
    ) -> Result<Number, Refusal> {
        let wall = self.world.now;
        let shows = self.shows(terminal);
        self.world.now = shows;
        let (place, body) = make(&self.world);
        let mut command = Command::new(CommandId(self.world.entries.len() as u64 + 5000), place, body);
        command.terminal = terminal.to_owned();
        command.happened = Some(shows - ago);
        let decided = decide(&self.world.board, &command, code(person), shows);
        let noted = decided.map(|entry| self.world.append(entry));
        self.world.now = wall + TimeDelta::minutes(1);
        self.folds_alike();
        noted
    }

    #[track_caller]
    pub fn at(&mut self, terminal: &str, person: &str, make: impl FnOnce(&World) -> (Place, Body)) -> Number {
        match self.try_at(terminal, person, make) {
            Ok(number) => number,
            Err(refusal) => panic!("refused ({}): {refusal}", refusal.rule()),
        }
    }

    #[track_caller]
    pub fn no(
        &mut self,
        terminal: &str,
        person: &str,
        make: impl FnOnce(&World) -> (Place, Body),
        rule: Rule,
    ) -> Refusal {
        match self.try_at(terminal, person, make) {
            Ok(_) => panic!("allowed, but {rule} should refuse it"),
            Err(refusal) => {
                assert_eq!(refusal.rule(), rule, "{refusal}");
                refusal
            }
        }
    }

    /// What a script writes, which no decision is asked about.
    fn script(&mut self, terminal: &str, person: &str, make: impl FnOnce(&World) -> (Place, Body)) -> Number {
        let wall = self.world.now;
        self.world.now = self.shows(terminal);
        let (place, body) = make(&self.world);
        let number = self.world.raw_at(terminal, person, place, body);
        self.world.now = wall + TimeDelta::minutes(1);
        self.folds_alike();
        number
    }

    #[track_caller]
    pub fn says(&mut self, terminal: &str, person: &str, wrong: WhichClock) -> Number {
        let wall = self.world.now;
        self.at(terminal, person, |_| clock(wall, wrong, ""))
    }

    /// Its clock is set right.
    pub fn set_right(&mut self, terminal: &str) {
        self.off.retain(|(name, _)| *name != terminal);
    }

    pub fn to(&mut self, clock: &str) -> &mut Self {
        self.world.to(clock);
        self
    }

    /// By whichever terminal somebody looks.
    pub fn is_open(&self, bed: &str) -> bool {
        let terminals = self.off.iter().map(|(name, _)| *name).chain(["desk"]);
        terminals.into_iter().any(|name| self.world.board.admission(code(bed), self.shows(name)).is_empty())
    }

    pub fn closed_by(&self, bed: &str) -> Vec<Rule> {
        self.world.board.admission(code(bed), self.world.now).into_iter().map(|blocker| blocker.rule).collect()
    }

    /// Entry by entry, and all at once from a file in any order: the same board.
    #[track_caller]
    fn folds_alike(&self) {
        let mut reversed = self.world.entries.clone();
        reversed.reverse();
        let told = |board: &Board| -> Vec<String> {
            BEDS.iter().map(|bed| format!("{:?}", board.admission(code(bed), self.world.now))).collect()
        };
        assert_eq!(told(&Board::fold(&reversed)), told(&self.world.board));
    }

    /// Sprays room 101 at the desk until now: 120 minutes stand on its label.
    pub fn spray(&mut self, terminal: &str) -> Number {
        self.at(terminal, "TECH", |world| world.spray("101", SPRAYED_101, ""))
    }

    /// All that is to be done after a spray, at this terminal.
    #[track_caller]
    pub fn put_right(&mut self, terminal: &str) {
        self.at(terminal, "HK", |world| world.dry_check("101", SPRAYED_101, ""));
        let all = format!("{SPRAYED_101} monitor");
        self.at(terminal, "HK", |world| world.treat("101", &all));
        self.at(terminal, "HK", |world| world.vacuum("101", "chair"));
        for bed in ["A", "B"] {
            self.at(terminal, "HK", |world| world.make("101", bed));
        }
        self.at(terminal, "LEAD", |world| world.give_back("101"));
    }

    /// The shift's count of empty beds, at this terminal.
    pub fn count(&mut self, terminal: &str) {
        self.at(terminal, "NURSE", |world| world.empty("W1", "A B C"));
        self.at(terminal, "NURSE", |world| world.empty("W2", "D"));
    }

    #[track_caller]
    pub fn all_open(&self) {
        for bed in BEDS {
            assert!(
                self.world.board.admission(code(bed), self.world.now).is_empty(),
                "{bed}: {:?}",
                self.closed_by(bed)
            );
        }
    }
}

fn clock(wall: Time, wrong: WhichClock, other: &str) -> (Place, Body) {
    (Place::Hospital, Body::ClockSaid { wall, wrong, other: other.to_owned(), shown: None })
}

pub fn hours(hours: i64) -> TimeDelta {
    TimeDelta::hours(hours)
}

/// A terminal that is four hours ahead notes that room 101 is dry, a moment after it was sprayed.
fn fast() -> House {
    let mut house = House::open(&[("fast", hours(4))]);
    house.spray("desk");
    house.put_right("fast");
    assert!(!house.closed_by("A").is_empty(), "an entry from a time that is still to come");
    house.at("desk", "NURSE", |world| world.finding("201", &[Sign::CastSkin]));
    house
}

#[test]
pub(super) fn a_bed_that_rests_on_a_clock_in_question_is_closed_until_somebody_says_which_was_wrong() {
    let mut house = fast();
    assert!(!house.is_open("A") && !house.is_open("B"));
    let at_fast = house.world.board.admission(code("A"), house.shows("fast"));
    let blocker = at_fast.iter().find(|blocker| blocker.rule == Rule::Clocks).unwrap();
    assert_eq!(blocker.verb, Some("clock"));
    for word in ["desk", "fast", "by a clock on the wall"] {
        assert!(blocker.text.contains(word), "{word}: {}", blocker.text);
    }
    // Bed C rests on neither.
    let of_c = house.world.board.admission(code("C"), house.shows("fast"));
    assert!(of_c.iter().all(|blocker| blocker.rule != Rule::Clocks), "{of_c:?}");
    // Nothing but what closes is noted at the one that is behind, before it was told.
    let refusal = house.no("desk", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::ClockBack);
    assert_eq!(refusal.mend(), Some("clock"), "{refusal}");
    house.at("desk", "TECH", |world| world.spray("102", SPRAYED_102, ""));
    assert!(!house.is_open("C"), "what closes counts");
}

#[test]
pub(super) fn a_check_by_a_clock_that_was_ahead_falls_and_its_work_is_done_again() {
    let mut house = fast();
    let said = house.says("desk", "NURSE", WhichClock::Other);
    assert!(!house.is_open("A"));
    assert!(
        house.closed_by("A").contains(&Rule::Wet),
        "the check did not come after the label's time: {:?}",
        house.closed_by("A")
    );
    assert!(!house.closed_by("A").contains(&Rule::Clocks));
    assert!(house.closed_by("C").is_empty(), "nothing is still to come any more");
    let mut unseen = house.world.give_back("101");
    if let Body::ReturnedToService { seen, .. } = &mut unseen.1 {
        *seen = Number(said.0 - 1);
    }
    house.no("desk", "LEAD", |_| unseen, Rule::Seen);
    house.to("12:00");
    assert!(!house.is_open("A"));
    house.put_right("desk");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    house.all_open();
}

#[test]
pub(super) fn a_spray_by_a_clock_that_is_behind_ended_as_late_as_it_may_have() {
    let mut house = House::open(&[("slow", hours(-3))]);
    house.count("desk");
    house.to("10:00");
    let spray = house.spray("slow");
    // By its own word it ended three hours ago.
    house.put_right("desk");
    assert!(!house.is_open("A"));
    let blockers = house.world.board.room_blockers(code("101"));
    assert!(blockers.iter().any(|it| it.rule == Rule::Clocks && it.entries.contains(&spray)), "{blockers:?}");
    house.says("slow", "TECH", WhichClock::This);
    assert!(house.closed_by("A").contains(&Rule::Wet), "{:?}", house.closed_by("A"));
    house.no("desk", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    house.to("12:10");
    // It stamps by the wall now, though nobody has set it.
    house.put_right("slow");
    house.count("desk");
    house.all_open();
}

#[test]
pub(super) fn a_spray_from_a_clock_some_minutes_behind_says_why_its_zones_are_not_treated() {
    let mut house = House::open(&[("slow", TimeDelta::minutes(-4))]);
    house.count("desk");
    house.to("10:00");
    house.at("desk", "NURSE", |world| world.empty("W2", "D"));
    let spray = house.spray("slow");
    assert!(house.closed_by("A").contains(&Rule::Clocks));
    house.says("slow", "TECH", WhichClock::This);
    let blockers = house.world.board.room_blockers(code("101"));
    let owed = blockers.iter().find(|blocker| blocker.rule == Rule::Coverage).unwrap();
    assert!(owed.text.contains("clock"), "{}", owed.text);
    assert!(owed.entries.contains(&spray));
    house.to("12:10");
    house.put_right("desk");
    house.count("slow");
    house.all_open();
}

#[test]
pub(super) fn what_a_clock_a_year_ahead_stamped_is_taken_out_by_the_lead_and_a_second_person() {
    let mut house = House::open(&[("fast", TimeDelta::days(365))]);
    let spray = house.spray("fast");
    house.to("09:10");
    house.no("desk", "NURSE", |world| world.empty("W1", "A B C"), Rule::ClockBack);
    house.says("desk", "NURSE", WhichClock::Other);
    assert!(house.closed_by("C").is_empty(), "the house is not shut for a year");
    house.to("12:00");
    house.no("desk", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    let out = |world: &World| {
        let seen = world.seen("101");
        let body = Body::TimeTakenOut { entry: spray, words: "this morning at nine".to_owned(), seen };
        (Place::room(code("101")), body)
    };
    house.at("desk", "HK", out);
    house.no("desk", "HK", out, Rule::SecondSignature);
    house.no("desk", "NURSE", out, Rule::SecondSignature);
    house.no("desk", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    house.at("desk", "LEAD", out);
    house.put_right("desk");
    house.count("desk");
    house.all_open();
}

#[test]
pub(super) fn a_clock_that_was_called_wrong_asks_before_anything_of_it_counts() {
    let mut house = fast();
    house.says("desk", "NURSE", WhichClock::Other);
    house.to("12:30");
    let refusal = house.no("fast", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::ClockBack);
    assert_eq!(refusal.mend(), Some("clock"), "{refusal}");
    // A script is not asked: what it says closes, and nothing else of it counts.
    house.script("fast", "HK", |world| world.dry_check("101", SPRAYED_101, ""));
    assert!(!house.is_open("A"));
    assert!(house.closed_by("A").contains(&Rule::Wet));
    house.says("fast", "HK", WhichClock::This);
    assert_eq!(house.shows("fast"), house.world.now, "it goes by the wall");
    house.put_right("fast");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("fast");
    house.all_open();
}

#[test]
pub(super) fn a_later_other_answer_puts_the_other_one_in_doubt_as_well() {
    // The desk is four hours behind, and says that the other one was wrong.
    let mut house = House::open(&[("desk", hours(-4)), ("right", hours(0))]);
    house.to("11:10");
    house.world.now += hours(4);
    house.spray("desk");
    house.at("right", "HK", |world| world.treat("101", "monitor"));
    house.at("desk", "NURSE", |world| world.finding("201", &[Sign::CastSkin]));
    let by_the_desk = house.shows("desk");
    house.at("desk", "NURSE", |_| clock(by_the_desk, WhichClock::Other, "right"));
    // Asked in its turn, the right one says that it was the desk's.
    house.says("right", "LEAD", WhichClock::Other);
    assert!(!house.is_open("A"));
    let refusal = house.no("desk", "HK", |world| world.treat("101", "monitor"), Rule::ClockBack);
    assert_eq!(refusal.mend(), Some("clock"));
    house.says("desk", "HK", WhichClock::This);
    house.no("right", "HK", |world| world.dry_check("101", SPRAYED_101, ""), Rule::Label);
    house.world.now += hours(3);
    house.put_right("right");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    house.all_open();
}

#[test]
pub(super) fn two_wrong_clocks_are_found_one_after_the_other() {
    let mut house = House::open(&[("fast", hours(4)), ("slow", hours(-3))]);
    house.to("11:00");
    house.spray("desk");
    house.put_right("fast");
    // The slow one knows that it is wrong itself; that the other one is, too, is found at the desk.
    house.at("slow", "NURSE", |world| world.finding("201", &[Sign::CastSkin]));
    assert!(!house.is_open("A"));
    let wall = house.world.now;
    let refusal = house.no("slow", "NURSE", |_| clock(wall, WhichClock::This, ""), Rule::ClockBack);
    assert!(refusal.to_string().contains("fast"), "{refusal}");
    house.says("slow", "NURSE", WhichClock::Other);
    assert!(!house.is_open("A") && house.closed_by("A").contains(&Rule::Wet), "{:?}", house.closed_by("A"));
    house.to("13:10");
    house.put_right("slow");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("slow");
    house.all_open();
}

#[test]
pub(super) fn a_clock_that_was_set_back_makes_two_of_its_terminal() {
    let mut house = House::open(&[("desk", hours(4))]);
    house.spray("ward");
    house.put_right("desk");
    // Somebody sets it.
    house.off.clear();
    house.at("desk", "NURSE", |world| world.finding("201", &[Sign::CastSkin]));
    assert!(!house.is_open("A"));
    house.says("desk", "NURSE", WhichClock::Other);
    assert!(!house.is_open("A"));
    assert_eq!(house.shows("desk"), house.world.now);
    house.to("11:30");
    house.put_right("desk");
    house.at("desk", "EYES", |world| world.inspect("201", "D/mattress D/frame chair monitor"));
    house.count("desk");
    house.all_open();
}

#[test]
pub(super) fn a_span_between_two_terminals_waits_two_minutes_longer() {
    let mut house = House::open(&[]);
    house.to("10:00");
    house.spray("desk");
    house.to("12:00");
    let check = |world: &World| world.dry_check("101", SPRAYED_101, "");
    // It began half a minute before it was noted.
    house.no("ward", "HK", check, Rule::Label);
    let refusal = house.no("ward", "HK", check, Rule::Label);
    assert!(refusal.to_string().contains("another terminal"), "{refusal}");
    house.clone_at("12:01").at("desk", "HK", check);
    house.to("12:03");
    house.at("ward", "HK", check);
}

impl House {
    fn clone_at(&self, clock: &str) -> Self {
        let mut other = Self { world: self.world.clone(), off: self.off.clone() };
        other.world.now = other.world.at(clock);
        other
    }
}

#[test]
pub(super) fn an_answer_is_anybodys_who_may_note_and_says_whose_clock_it_was() {
    let mut house = fast();
    let wall = house.world.now;
    house.no("desk", "READ", |_| clock(wall, WhichClock::Other, ""), Rule::Role);
    let refusal = house.no("desk", "HK", |_| clock(wall, WhichClock::Other, "attic"), Rule::Target);
    assert!(refusal.to_string().contains("attic"), "{refusal}");
    house.no("desk", "HK", |_| clock(wall, WhichClock::This, ""), Rule::ClockBack);
    house.no("desk", "HK", |world| clock(world.now + hours(4), WhichClock::Other, ""), Rule::ClockBack);
    house.says("desk", "HK", WhichClock::Other);
    let told: Vec<String> = house.world.exceptions();
    assert!(told.contains(&"the clock of fast was wrong".to_owned()), "{told:?}");
}
