//! Plays the story: each step is read by the table of moves, decided on the board as it stood then, and folded in.

use std::collections::HashMap;

use chrono::TimeDelta;
use chrono_tz::Tz;

use super::story::{Answer, Step, Story, Which};
use super::{DemoError, HISTORY};
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::decide::{Command, decide};
use crate::domain::entry::{Body, CommandId, Entry, Number, Place, Time};
use crate::domain::facility::{ZonePlan, ZoneTreatment};
use crate::domain::moves::{self, Answers};

pub(super) fn play(set_up: Vec<(Place, Body)>, mut story: Story, now: Time, zone: Tz) -> Result<Vec<Entry>, DemoError> {
    let mut player = Player { board: Board::new().in_zone(zone), entries: vec![], labels: HashMap::new(), now };
    player.set_up(set_up);
    story.steps.sort_by_key(|step| -step.minutes_ago);
    for step in &story.steps {
        player.step(step).map_err(|why| DemoError::Step {
            verb: step.verb,
            target: step.target.clone(),
            minutes_ago: step.minutes_ago,
            why,
        })?;
    }
    Ok(player.entries)
}

struct Player {
    board: Board,
    entries: Vec<Entry>,
    labels: HashMap<&'static str, Number>,
    now: Time,
}

impl Player {
    fn keep(&mut self, entry: Entry) {
        self.board.apply(&entry);
        self.entries.push(entry);
    }

    fn ago(&self, minutes: i64) -> Time {
        self.now - TimeDelta::minutes(minutes)
    }

    /// The settings with which a new ledger begins, a little before the story.
    fn set_up(&mut self, settings: Vec<(Place, Body)>) {
        let lead = settings.iter().find_map(|(_, body)| match body {
            Body::PersonSet(person) => Some(person.initials),
            _ => None,
        });
        let Some(lead) = lead else { return };
        let noted = self.now - HISTORY - TimeDelta::minutes(60);
        for (place, body) in settings {
            let number = self.entries.len() as u64 + 1;
            self.keep(Entry {
                number: Number(number),
                noted,
                happened: noted,
                done_by: lead,
                noted_by: lead,
                terminal: "setup".to_owned(),
                command: CommandId(number),
                place,
                body,
            });
        }
    }

    fn step(&mut self, step: &Step) -> Result<(), String> {
        let now = self.ago(step.minutes_ago);
        let person = Code::new(step.who).map_err(|error| error.to_string())?;
        let mv = moves::find(step.verb).ok_or("there is no such move")?;
        let answers = self.answers(step)?;
        let (place, body) = moves::build(mv, &step.target, &answers, &self.board, now)
            .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
        let mut command = Command::new(CommandId(self.entries.len() as u64 + 1), place, body);
        command.happened = (step.late > 0).then(|| self.ago(step.minutes_ago + step.late));
        command.terminal = "demo".to_owned();
        let entry = decide(&self.board, &command, person, now).map_err(|refusal| refusal.to_string())?;
        if let Some(label) = step.label {
            self.labels.insert(label, entry.number);
        }
        self.keep(entry);
        Ok(())
    }

    fn answers(&self, step: &Step) -> Result<Answers, String> {
        let mut answers = Answers::new();
        for (field, answer) in &step.answers {
            match answer {
                Answer::Text(text) => answers.add(field, text),
                Answer::At(minutes) => answers.add(field, &self.ago(*minutes).to_rfc3339()),
                Answer::Entry(label) => {
                    let number = self.labels.get(label).ok_or_else(|| format!("no entry is called {label}"))?;
                    answers.add(field, &number.to_string());
                }
                Answer::Zones(which, after) => {
                    let plan = Code::new(&step.target).ok().and_then(|code| self.board.facility().room(code));
                    for (zone, plan) in plan.iter().flat_map(|plan| plan.zones.iter()) {
                        let said = step.answers.iter().any(|(name, answer)| {
                            let about = format!("{zone}=");
                            name == field && matches!(answer, Answer::Text(text) if text.starts_with(&about))
                        });
                        if which.takes(plan) && !said {
                            answers.add(field, &format!("{zone}{after}"));
                        }
                    }
                }
            }
        }
        Ok(answers)
    }
}

impl Which {
    fn takes(self, plan: &ZonePlan) -> bool {
        let sprayable = plan.treatment == ZoneTreatment::Spray;
        let other = plan.treatment == ZoneTreatment::OtherMethod;
        match self {
            Self::Sprayable => sprayable,
            Self::SprayableHiding => sprayable && plan.hiding_place,
            Self::OtherMethod => other,
            Self::OtherHiding => other && plan.hiding_place,
            Self::Soft => plan.soft_seat,
        }
    }
}
