//! Who sits at a shared terminal: signing in and out, and what each had begun.
//!
//! A draft belongs to whoever had begun it. It is shown to no other, it outlives the program in this user's own folder, and
//! it is never in the ledger.

use super::app::{App, Confirm, FORM_KEPT, Layer, Yes};
use super::ask::Ask;
use super::bags::BagsScreen;
use super::beds::{BedsScreen, unconfirmed};
use super::book;
use super::choice::Pick;
use super::form::{Draft, Form, read_drafts, write_drafts};
use super::line::{Purpose, TypedLine};
use super::rules::RulesScreen;
use super::tasks::TasksScreen;
use super::update::{Effect, Filing, Pin};
use super::world::World;
use crate::domain::code::Code;
use crate::domain::people::Role;
use crate::domain::shown::shown;

/// After so long without a key nobody is taken to sit here.
pub(super) const ALONE_MINUTES: u64 = 10;

impl App {
    /// Where the draft of this form is, of whoever is signed in.
    pub(super) fn draft_of(&self, ask: &Ask) -> Option<usize> {
        self.drafts.iter().position(|draft| draft.owner == self.person && draft.is_about(ask))
    }

    pub(super) fn has_begun(&self, ask: &Ask) -> bool {
        self.person.is_some() && self.draft_of(ask).is_some()
    }

    pub(super) fn has_begun_anything(&self) -> bool {
        let own = |form: &Form| form.owner == self.person && form.is_touched();
        self.open_forms().chain(&self.drafts).any(own)
    }

    pub(super) fn open_forms(&self) -> impl Iterator<Item = &Form> {
        self.layers.iter().filter_map(|layer| if let Layer::Form(form) = layer { Some(form.as_ref()) } else { None })
    }

    /// What is begun here outlives the program.
    pub(super) fn keeps_what_is_begun(&self) -> bool {
        self.keeps_drafts && self.top.not_kept.is_none()
    }

    /// Something typed that leaving would lose.
    pub fn has_unsaved(&self) -> bool {
        !self.keeps_what_is_begun() && self.open_forms().chain(&self.drafts).any(Form::is_touched)
    }

    /// Has kept what the person signed in had begun, if it is not kept as it is.
    pub(super) fn keep_drafts(&mut self) {
        let Some(person) = self.person.filter(|_| self.keeps_drafts) else { return };
        let own = |form: &&Form| form.owner == Some(person) && form.is_touched();
        let begun: Vec<Draft> = self.open_forms().chain(&self.drafts).filter(own).map(Form::draft).collect();
        let text = if begun.is_empty() { String::new() } else { write_drafts(&begun) };
        if text != self.kept {
            self.kept.clone_from(&text);
            self.filings.push(Filing::Keep { person, text });
        }
    }

    /// It could not be kept: it is tried again with the next change.
    pub(super) fn not_kept(&mut self, why: &str, world: &World<'_>) {
        self.kept.clear();
        // Once told, it stands above every page.
        let is_news = self.top.not_kept.is_none() || self.said == FORM_KEPT;
        self.refresh(world);
        if is_news {
            self.said =
                format!("What you had begun is kept until this program ends, and not for later: {}", shown(why));
        }
    }

    /// What this person had begun when they last left.
    pub(super) fn recalled(&mut self, person: Code, text: &str, world: &World<'_>) {
        if self.person != Some(person) {
            return;
        }
        text.clone_into(&mut self.kept);
        let mut titles = vec![];
        for draft in read_drafts(text) {
            let ask = Ask { verb: draft.verb, target: draft.target.clone(), known: vec![] };
            let is_same = |form: &Form| form.owner == Some(person) && form.is_about(&ask);
            if self.drafts.iter().any(is_same) || self.open_forms().any(|form| is_same(form) && form.is_touched()) {
                continue;
            }
            let Some(form) =
                Form::from_draft(&draft, person, world).filter(|form| form.is_touched() || !form.dropped.is_empty())
            else {
                continue;
            };
            titles.push(format!("{} {}", form.mv.title, form.target));
            match self.layers.last_mut() {
                // It was asked for in the same breath.
                Some(Layer::Form(open)) if is_same(open) => **open = form,
                _ => self.drafts.push(form),
            }
        }
        if !titles.is_empty() {
            self.said = format!("Begun before, and kept: {}. Opening it brings it back.", titles.join(", "));
        }
    }

    pub fn sign_in(&mut self, person: Code, world: &World<'_>) {
        if self.person.is_some_and(|before| before != person) {
            self.sign_out(world);
        }
        if self.person != Some(person) {
            self.forget_lists();
        }
        self.person = Some(person);
        self.refresh(world);
        self.said = format!("Signed in: {}. h tells of your shift, o signs out.", self.top.person);
        if self.keeps_drafts {
            self.filings.push(Filing::Recall { person });
        }
    }

    /// Which lines are listed and chosen is a person's: whoever comes next finds all of them, from the first.
    fn forget_lists(&mut self) {
        (self.beds, self.tasks, self.bags, self.rules) =
            (BedsScreen::default(), TasksScreen::default(), BagsScreen::default(), RulesScreen::default());
    }

    /// Nobody sits here any more. What was begun is put away for whoever had begun it, and covered by nothing of theirs.
    pub fn sign_out(&mut self, world: &World<'_>) {
        self.keep_drafts();
        self.kept.clear();
        for layer in std::mem::take(&mut self.layers) {
            match layer {
                Layer::Form(form) if form.is_touched() => self.drafts.push(*form),
                Layer::Room(room) => self.layers.push(Layer::Room(room)),
                // It is told anew, for anybody.
                Layer::Page(page) if page.is_shift() => self.layers.push(Layer::Page(page)),
                _ => {}
            }
        }
        self.person = None;
        self.forget_lists();
        self.board.forget();
        self.refresh(world);
        self.said = "Signed out. Anyone may look; s signs in.".to_owned();
    }
}

pub(super) fn picked(app: &mut App, world: &World<'_>, pick: Pick, then: Option<Ask>) -> Vec<Effect> {
    match pick {
        Pick::Ask(ask) => app.open_form(&ask, world),
        Pick::Others => {}
        Pick::Shelf(shelf) => app.layers.push(Layer::Choice(book::shelf(shelf, world))),
        Pick::Person(person) => {
            // Only the desk knows whether a PIN was set elsewhere in this second.
            return vec![Effect::CheckPin { person, pin: None, then }];
        }
    }
    vec![]
}

pub(super) fn pin_checked(app: &mut App, world: &World<'_>, person: Code, answer: Pin, then: Option<&Ask>) {
    // The desk has looked at the ledger anew.
    app.refresh(world);
    let Some(Layer::Line(line)) = app.layers.last_mut().filter(|layer| matches!(layer, Layer::Line(_))) else {
        match answer {
            Pin::Right => {
                app.sign_in(person, world);
                begin(app, world, then);
            }
            Pin::Wanted => {
                let then = then.cloned();
                app.layers.push(Layer::Line(TypedLine::new(Purpose::Pin { person, then })));
            }
            Pin::Wrong => {}
            Pin::Wait(why) | Pin::Fault(why) => app.said = shown(&why),
        }
        return;
    };
    match answer {
        Pin::Right => {}
        Pin::Wanted => return,
        Pin::Wrong => {
            return line.wrong("That is not this person's PIN. Type it again, or ask the lead to set a new one.");
        }
        Pin::Wait(why) => return line.wrong(&format!("Not looked at: {}.", shown(&why))),
        Pin::Fault(why) => {
            return line.wrong(&shown(&format!("The PIN could not be checked; it may be right. {why}")));
        }
    }
    app.layers.pop();
    app.sign_in(person, world);
    begin(app, world, then);
}

/// After signing in: what was wanted before, else what a shift is asked once.
fn begin(app: &mut App, world: &World<'_>, then: Option<&Ask>) {
    match then {
        Some(ask) => app.open_form(ask, world),
        None => ask_for_beds(app, world),
    }
}

/// Whoever keeps occupancy is asked once a shift to go through a ward that nobody confirmed for longer than that. Its empty
/// beds read unknown, and are closed.
fn ask_for_beds(app: &mut App, world: &World<'_>) {
    let is_charge_nurse = |code: Code| world.board.people().get(&code).is_some_and(|it| it.role == Role::ChargeNurse);
    let asked = app.asked_for_beds.is_some_and(|at| world.now - at < world.board.shift());
    if asked || !app.person.is_some_and(is_charge_nurse) || !app.layers.is_empty() {
        return;
    }
    let wards = unconfirmed(world, &app.survey);
    let Some((first, _)) = wards.first() else { return };
    app.asked_for_beds = Some(world.now);
    let listed: Vec<&str> = wards.iter().map(|(_, text)| text.as_str()).collect();
    let question = format!(
        "Beds not confirmed for longer than a shift: {}. Empty beds that nobody confirmed read unknown, and take nobody. Go \
         through ward {first} now? This is asked once a shift; c does it at any time.",
        listed.join("; ")
    );
    let ask = Ask { verb: "occupancy", target: first.to_string(), known: vec![] };
    app.layers.push(Layer::Confirm(Confirm { question, yes: Yes::Open(ask) }));
}

/// At a shared terminal the next hand is another's.
pub(super) fn alone(app: &mut App, world: &World<'_>) {
    let Some(person) = app.person else { return };
    let begun = if app.has_begun_anything() { format!(" What {person} had begun is put away.") } else { String::new() };
    app.sign_out(world);
    app.layers.retain(|layer| !matches!(layer, Layer::Page(_)));
    app.said = format!("{person} was signed out: no key for {ALONE_MINUTES} minutes.{begun} s signs in.");
}
