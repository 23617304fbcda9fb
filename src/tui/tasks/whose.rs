//! Whose tasks are listed: everybody's, those of the person signed in, or one role's.

use std::collections::BTreeSet;

use crate::domain::board::{Task, TaskKind};
use crate::domain::code::Code;
use crate::domain::people::Role;

#[derive(Default)]
pub(super) struct Whose {
    choice: Choice,
    /// Who is signed in, and which moves are offered to them.
    me: Option<(Code, Role)>,
    offered: BTreeSet<&'static str>,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
enum Choice {
    #[default]
    Everybody,
    Mine,
    Role(Role),
}

impl Whose {
    pub(super) fn sign_in(&mut self, me: Option<(Code, Role)>, offered: &BTreeSet<&'static str>) {
        self.me = me;
        self.offered.clone_from(offered);
        if me.is_none() && self.choice == Choice::Mine {
            self.choice = Choice::Everybody;
        }
    }

    /// The next of: everybody's, one's own, each role that has a task.
    pub(super) fn turn(&mut self, tasks: &[Task]) {
        let has = |role: &Role| tasks.iter().any(|task| task.role == *role);
        let after = |role: Option<Role>| {
            let from = role.and_then(|role| Role::ALL.iter().position(|it| *it == role)).map_or(0, |at| at + 1);
            Role::ALL.into_iter().skip(from).find(has).map_or(Choice::Everybody, Choice::Role)
        };
        self.choice = match self.choice {
            Choice::Everybody if self.me.is_some() => Choice::Mine,
            Choice::Everybody | Choice::Mine => after(None),
            Choice::Role(role) => after(Some(role)),
        };
    }

    pub(super) fn lists(&self, task: &Task) -> bool {
        match self.choice {
            Choice::Everybody => true,
            Choice::Mine => self.is_mine(task),
            Choice::Role(role) => task.role == role,
        }
    }

    /// Whether the person signed in may do it. Nobody signed in may do nothing yet.
    pub(super) fn may(&self, task: &Task) -> bool {
        // A daily look by which nothing is seen is for anybody; a full inspection is not.
        let verb = if task.kind == TaskKind::DailyLook { "round" } else { task.verb };
        self.me.is_some_and(|(me, _)| !task.not_for.contains(&me)) && self.offered.contains(verb)
    }

    /// One's own are listed, and this one has one's name on it.
    pub(super) fn gave_me(&self, task: &Task) -> bool {
        self.choice == Choice::Mine && self.me().is_some_and(|me| task.accepted_by == Some(me))
    }

    fn is_mine(&self, task: &Task) -> bool {
        let Some((me, role)) = self.me else { return false };
        let of_role = match task.kind {
            // What anybody may do is the work of those whose work it is.
            TaskKind::DailyLook
            | TaskKind::Review
            | TaskKind::Occupancy
            | TaskKind::Identify
            | TaskKind::PatientOut
            | TaskKind::PatientInTheWet => task.role == role || role == Role::Lead,
            _ => true,
        };
        task.accepted_by == Some(me) || (of_role && self.may(task))
    }

    pub(super) fn me(&self) -> Option<Code> {
        self.me.map(|(me, _)| me)
    }

    /// `everybody's`, `mine`, or the role.
    pub(super) fn shown(&self) -> String {
        match self.choice {
            Choice::Everybody => "everybody's".to_owned(),
            Choice::Mine => self.me().map_or("mine".to_owned(), |me| format!("{me} may do")),
            Choice::Role(role) => format!("of the {}", role.title()),
        }
    }
}
