//! The state of the screens: two that lie below, and a stack of layers above them. The topmost gets the key.
//!
//! Nothing here reads or writes anything outside: [`super::update::update`] changes it, [`super::draw`] shows it.

use std::collections::BTreeSet;

use super::age;
use super::ask::Ask;
use super::bags::BagsScreen;
use super::base::{Base, Screen};
use super::beds::BedsScreen;
use super::board::BoardScreen;
use super::choice::ChoiceList;
use super::form::{Form, Wanted};
use super::keys::{Act, Context};
use super::ledger::LedgerScreen;
use super::line::{Purpose, TypedLine};
use super::look::Look;
use super::page::Page;
use super::room::RoomScreen;
use super::rules::RulesScreen;
use super::survey::Survey;
use super::tasks::TasksScreen;
use super::update::Filing;
use super::wall::Wall;
use super::world::World;
use crate::domain::board::is_offered;
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::moves::{self, MOVES, Move};
use crate::domain::people::{Person, Role};
use crate::domain::shift::{Gap, missing};
use crate::domain::shown::shown;

/// The move by which somebody says what time it is.
pub(super) const CLOCK: &str = "clock";

/// Of a form that was left with something in it.
pub(super) const FORM_KEPT: &str = "Closed, nothing noted. What you typed is kept: opening it again brings it back.";

/// The smallest screen on which everything can be done.
pub(super) const LEAST_COLUMNS: u16 = 80;
pub(super) const LEAST_LINES: u16 = 24;

pub struct App {
    pub look: Look,
    pub width: u16,
    pub height: u16,
    pub survey: Survey,
    pub base: Base,
    pub(super) board: BoardScreen,
    pub(super) beds: BedsScreen,
    pub(super) tasks: TasksScreen,
    pub(super) bags: BagsScreen,
    pub(super) ledger: LedgerScreen,
    pub(super) rules: RulesScreen,
    /// Moves that the person signed in may make; everybody's while nobody is.
    pub(super) offered: BTreeSet<&'static str>,
    pub layers: Vec<Layer>,
    pub person: Option<Code>,
    /// Forms that were closed with something in them, each for whoever had begun it.
    pub drafts: Vec<Form>,
    /// Drafts outlive the program.
    pub keeps_drafts: bool,
    /// What was last kept of the drafts of whoever is signed in.
    pub(super) kept: String,
    /// What is to be filed before anything else is done.
    pub(super) filings: Vec<Filing>,
    /// What was done last, or why nothing was.
    pub said: String,
    /// It was noted by the last key: a second press of the same key is for nothing below.
    pub(super) just_noted: Option<Number>,
    pub top: TopLine,
    /// When somebody was last asked here to go through the beds that nobody confirmed for longer than a shift.
    pub(super) asked_for_beds: Option<Time>,
    /// Ctrl-C was pressed once.
    pub leaving: bool,
}

/// The line on top, in words.
#[derive(Default)]
pub struct TopLine {
    /// Day and time, by the hospital's clock.
    pub clock: String,
    pub person: String,
    /// Empty while nobody is signed in.
    pub initials: String,
    pub trouble: Option<String>,
    /// Entries may be missing, and the wards were not walked since.
    pub gap: Option<Gap>,
    /// Every bed reads closed, for that trouble.
    pub closed: bool,
    pub rehearsal: bool,
    /// This terminal remembers nothing, and why.
    pub not_kept: Option<String>,
}

impl TopLine {
    /// How many lines below it are taken by what has to be known on every page.
    pub(super) fn banners(&self) -> u16 {
        u16::from(self.trouble.is_some() || self.gap.is_some()) + u16::from(self.not_kept.is_some())
    }
}

pub enum Layer {
    Room(Box<RoomScreen>),
    Form(Box<Form>),
    Choice(ChoiceList),
    Line(TypedLine),
    Confirm(Confirm),
    Page(Page),
    /// The page for a screen on the wall. It covers everything.
    Wall(Box<Wall>),
}

/// Asked once more; the answer at hand is no.
pub struct Confirm {
    pub question: String,
    pub yes: Yes,
}

pub enum Yes {
    Note(Box<Wanted>),
    Leave,
    /// Closes the form below and keeps nothing of it.
    Discard,
    /// Opens a form.
    Open(Ask),
}

/// Until when this person, who is no lead, acts as one now.
fn acting(person: &Person, world: &World<'_>) -> Option<String> {
    let (from, until) = person.acting_lead.filter(|_| person.role != Role::Lead)?;
    let now = (from..=until).contains(&world.now);
    now.then(|| age::clock(until, world.now, world.board.facility().time_zone))
}

impl App {
    pub fn new(look: Look, width: u16, height: u16, person: Option<Code>, world: &World<'_>) -> Self {
        let mut app = Self {
            look,
            width,
            height,
            survey: Survey::default(),
            base: Base::default(),
            board: BoardScreen::default(),
            beds: BedsScreen::default(),
            tasks: TasksScreen::default(),
            bags: BagsScreen::default(),
            ledger: LedgerScreen::default(),
            rules: RulesScreen::default(),
            offered: BTreeSet::new(),
            layers: vec![],
            person,
            drafts: vec![],
            keeps_drafts: false,
            kept: String::new(),
            filings: vec![],
            said: String::new(),
            just_noted: None,
            top: TopLine::default(),
            asked_for_beds: None,
            leaving: false,
        };
        app.refresh(world);
        app
    }

    pub fn is_too_small(&self) -> bool {
        self.width < LEAST_COLUMNS || self.height < LEAST_LINES
    }

    /// Lines for a screen between the top and what was said.
    pub fn body_lines(&self) -> u16 {
        self.height.saturating_sub(3 + self.top.banners())
    }

    /// Takes over what the world is now: the ledger changed, or a minute passed.
    pub fn refresh(&mut self, world: &World<'_>) {
        self.survey = Survey::of(world.board, world.now);
        self.top.trouble = world.trouble.as_deref().map(shown);
        self.top.gap = missing(world.board, world.entries, world.now).into_iter().next();
        self.top.closed = world.closed;
        self.top.not_kept = world.not_kept.as_deref().map(shown);
        self.top.rehearsal = world.rehearsal;
        let zone = world.board.facility().time_zone;
        let there = world.now.with_timezone(&zone);
        self.top.clock = there.format("%a %-d %b %H:%M").to_string();
        self.person = self.person.filter(|code| world.board.people().get(code).is_some_and(|person| !person.left));
        self.top.person = match self.person.and_then(|code| world.board.people().get(&code)) {
            Some(person) => {
                let acts =
                    acting(person, world).map(|until| format!(", acting lead until {until}")).unwrap_or_default();
                format!("{}, {}{acts}", person.initials, person.role.title())
            }
            None => "nobody signed in".to_owned(),
        };
        self.top.initials = match self.person.and_then(|code| world.board.people().get(&code)) {
            Some(person) if acting(person, world).is_some() => format!("{} acting lead", person.initials),
            Some(person) => person.initials.to_string(),
            None => String::new(),
        };
        let who = self.person.and_then(|code| world.board.people().get(&code));
        let may = |verb: &str| who.is_none_or(|who| is_offered(verb, who, world.now, world.board.policy()));
        self.offered = MOVES.iter().map(|mv| mv.verb).filter(|verb| may(verb)).collect();
        self.tasks.sign_in(who.map(|who| (who.initials, who.role)), &self.offered);
        self.ledger.read_by(self.person);
        self.lay_out(world);
        for layer in &mut self.layers {
            match layer {
                Layer::Form(form) => {
                    let dropped = form.refresh(world, self.person);
                    if dropped {
                        self.said.clone_from(&form.dropped);
                    }
                }
                Layer::Page(page) => page.refresh(world, self.person),
                _ => {}
            }
        }
    }

    /// Lays the screens out for the size of the terminal.
    pub fn lay_out(&mut self, world: &World<'_>) {
        let lines = self.body_lines();
        let (width, base) = (self.width, self.base);
        let (screen, survey) = self.screen_and_survey(base);
        screen.refresh(world, survey, width, lines);
        self.lay_out_rooms(world);
    }

    /// The same for the rooms that are open alone.
    pub(super) fn lay_out_rooms(&mut self, world: &World<'_>) {
        let size = (self.width, self.body_lines());
        let lines = self.height.saturating_sub(self.top.banners());
        for layer in &mut self.layers {
            match layer {
                Layer::Room(room) => room.refresh(world, &self.survey, self.person, size),
                Layer::Wall(wall) => wall.refresh(world, &self.survey, self.width, lines),
                _ => {}
            }
        }
    }

    fn screen_and_survey(&mut self, base: Base) -> (&mut dyn Screen, &Survey) {
        let screen: &mut dyn Screen = match base {
            Base::Board => &mut self.board,
            Base::Beds => &mut self.beds,
            Base::Tasks => &mut self.tasks,
            Base::Bags => &mut self.bags,
            Base::Ledger => &mut self.ledger,
            Base::Rules => &mut self.rules,
        };
        (screen, &self.survey)
    }

    /// The screen that lies below the layers.
    pub(super) fn screen(&self) -> &dyn Screen {
        match self.base {
            Base::Board => &self.board,
            Base::Beds => &self.beds,
            Base::Tasks => &self.tasks,
            Base::Bags => &self.bags,
            Base::Ledger => &self.ledger,
            Base::Rules => &self.rules,
        }
    }

    /// Turns to another screen, on the room that the keys were about where it lists that.
    pub(super) fn turn(&mut self, to: Base, world: &World<'_>) {
        let room = self.chosen_room();
        // A form that lay below a page is kept, as by Esc.
        for layer in std::mem::take(&mut self.layers) {
            if let Layer::Form(form) = layer
                && form.is_touched()
            {
                self.said = FORM_KEPT.to_owned();
                self.drafts.push(*form);
            }
        }
        self.base = to;
        self.lay_out(world);
        // On the Beds the first line is the answer: a bed that can be given away now.
        if let Some(room) = room.filter(|_| to != Base::Beds) {
            self.choose(room, world);
            self.lay_out(world);
        }
    }

    /// A key that walks on the screen that lies lowest.
    pub(super) fn walk(&mut self, act: Act, world: &World<'_>) {
        let (screen, survey) = self.screen_and_survey(self.base);
        if screen.walk(act, survey) {
            self.lay_out(world);
        } else {
            screen.look_closer(world, survey);
        }
    }

    /// The room is the one that the keys are about from now on.
    pub(super) fn choose(&mut self, room: Code, world: &World<'_>) {
        let (screen, survey) = self.screen_and_survey(self.base);
        screen.choose(room, survey);
        screen.look_closer(world, survey);
    }

    pub fn context(&self) -> Context {
        match self.layers.last() {
            None => self.base.context(),
            Some(Layer::Room(_)) => Context::Room,
            Some(Layer::Form(form)) => form.context(),
            Some(Layer::Choice(_)) => Context::Choice,
            Some(Layer::Line(_)) => Context::Line,
            Some(Layer::Confirm(Confirm { yes: Yes::Leave, .. })) => Context::Leaving,
            Some(Layer::Confirm(_)) => Context::Confirm,
            Some(Layer::Page(page)) => page.context(),
            Some(Layer::Wall(_)) => Context::Wall,
        }
    }

    /// The room that the keys are about.
    pub fn chosen_room(&self) -> Option<Code> {
        for layer in self.layers.iter().rev() {
            match layer {
                Layer::Room(room) => return Some(room.code),
                // What lies below is not seen, but for the keys of what is.
                Layer::Page(page) if page.context() == Context::Page => return page.room(),
                _ => {}
            }
        }
        self.screen().room(&self.survey)
    }

    /// The bed on whose line the keys are, in a Room that lies on top.
    pub fn chosen_bed(&self) -> Option<Code> {
        match self.layers.last() {
            Some(Layer::Room(room)) => room.bed(&self.survey),
            _ => None,
        }
    }

    /// Shows the page for a screen on the wall.
    pub fn show_wall(&mut self, world: &World<'_>) {
        self.layers.push(Layer::Wall(Box::default()));
        self.lay_out_rooms(world);
    }

    /// Whether letters are text just now.
    pub(super) fn is_typing(&self) -> bool {
        self.context().types()
    }

    /// Whether that page is what is seen.
    pub(super) fn is_wall(&self) -> bool {
        matches!(self.layers.last(), Some(Layer::Wall(_)))
    }

    /// The chosen room's next step, if the person signed in may do it.
    pub(super) fn own_step(&self) -> Option<&'static Move> {
        let room = self.survey.room(self.chosen_room()?)?;
        let verb = room.next_verb.filter(|_| self.person.is_none_or(|me| !room.next_not_for.contains(&me)))?;
        self.offered.contains(verb).then(|| moves::find(verb)).flatten()
    }

    /// Opens a form, or the draft of it. Whoever is not signed in is asked who they are first.
    pub fn open_form(&mut self, ask: &Ask, world: &World<'_>) {
        let Some(person) = self.person else {
            self.layers.push(Layer::Choice(ChoiceList::people(world, Some(ask.clone()))));
            return;
        };
        let mut ask = ask.clone();
        if ask.verb == "accept" {
            // Whoever takes a task here takes it for themselves.
            ask.known.push(("by", person.to_string()));
        }
        let ask = &ask;
        if let Some(at) = self.draft_of(ask) {
            let mut form = self.drafts.remove(at);
            form.refresh(world, self.person);
            form.go_to_first_open();
            self.said = match form.dropped.is_empty() {
                true => "Here is what you had typed before.".to_owned(),
                false => form.dropped.clone(),
            };
            self.layers.push(Layer::Form(Box::new(form)));
        } else if let Some(mut form) = Form::open(ask, self.person, world) {
            if ask.says_all() && !form.lacks_an_answer() {
                form.act(Act::ToEnd, world);
            }
            self.layers.push(Layer::Form(Box::new(form)));
        }
        if ask.verb != CLOCK && matches!(self.layers.last(), Some(Layer::Form(_))) {
            self.ask_the_time(world);
        }
    }

    /// Before anything is noted here: whose clock was wrong. What was being filled in waits below. Says whether it asks.
    pub(super) fn ask_the_time(&mut self, world: &World<'_>) -> bool {
        let Some(question) = &world.clock else { return false };
        self.open_form(&Ask { verb: CLOCK, ..Ask::default() }, world);
        self.said = format!("First: {}.", shown(&question.text));
        true
    }

    /// Asks for this person's PIN, which signs them in.
    pub(super) fn ask_pin(&mut self, person: Code) {
        self.layers.push(Layer::Line(TypedLine::new(Purpose::Pin { person, then: None })));
    }

    /// Where one key would note or sign something: which line of what. None: no key does so here.
    pub(super) fn final_line(&self) -> Option<String> {
        let depth = self.layers.len();
        if let Some(number) = self.just_noted {
            return Some(format!("{depth} noted {number}"));
        }
        match self.layers.last()? {
            Layer::Form(form) if form.notes_now() => Some(format!("{depth} {} {}", form.mv.verb, form.target)),
            Layer::Confirm(confirm) => Some(format!("{depth} {}", confirm.question)),
            Layer::Choice(list) if list.asks_who() => Some(format!("{depth} who")),
            _ => None,
        }
    }

    /// How old the newest entry is, for those who wonder whether the board is alive.
    pub fn newest(world: &World<'_>) -> Option<String> {
        let (number, noted) = world.board.last()?;
        Some(format!("entry {number}, {}", age::age(noted, world.now)))
    }
}
