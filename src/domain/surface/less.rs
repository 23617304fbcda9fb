//! Less of a spray than was said of it, once two people have said the same: the one way in which a statement is lowered.
//!
//! It takes away what the mistake alone had said. What is stated afterwards only adds again, and what somebody has to feel for
//! another reason stays wet.

use chrono::TimeDelta;

use super::record::{Dried, Source};
use super::{Surface, Surfaces};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};

/// What is known of a spray once it was lowered. None: as it was.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Less {
    pub ended: Option<Time>,
    pub label: Option<TimeDelta>,
    /// All that was sprayed.
    pub named: Option<Vec<Surface>>,
}

impl Surfaces {
    /// Lowers what is known of a spray. Gives what it did not wet after all.
    pub fn lessened(&mut self, room: Code, number: Number, to: &Less, (by, done): (Number, Time)) -> Vec<Surface> {
        let first = self.spray(room, number).map_or(number, |it| it.first_told);
        let stood = self.stand_now(&[room], first);
        let Some(spray) = self.spray_mut(room, number) else { return vec![] };
        spray.lessen(to.ended, to.label, by);
        let wetted = spray.wetted.clone();
        // A thing of which nobody said which part it is may be one that was sprayed.
        let is_out = |it: &Surface| {
            !matches!(it, Surface::Thing(_)) && to.named.as_ref().is_some_and(|named| !named.contains(it))
        };
        let out: Vec<Surface> = wetted.iter().copied().filter(is_out).collect();
        if let Some(named) = &to.named {
            spray.wetted.retain(|it| !is_out(it));
            spray.named = Some(named.clone());
        }
        let source = Source::Spray { room, number };
        for surface in &out {
            let record = self.record_mut(*surface);
            let (gone, left) = std::mem::take(&mut record.wet).into_iter().partition(|wet| wet.source == source);
            record.wet = left;
            record.dried.push(Dried { by, done, check: None, looked: None, with: vec![], wet: gone });
        }
        for surface in wetted {
            self.changed(surface);
        }
        self.stand_elsewhere(stood, by);
        out
    }

    /// What nobody can tell waited for the longest of the labels. That one was a mistake: it waits no longer than for the longest
    /// that is left.
    pub fn unknown_lowered(&mut self, from: TimeDelta, to: TimeDelta) {
        let waits = |wet: &super::Wet| matches!(wet.source, Source::Touch { label, .. } if label == from);
        let all = self.groups.values().flat_map(|group| group.parts.iter());
        let concerned: Vec<Surface> =
            all.filter(|(_, record)| record.wet.iter().any(waits)).map(|(surface, _)| *surface).collect();
        for surface in concerned {
            for wet in self.record_mut(surface).wet.iter_mut().filter(|wet| waits(wet)) {
                if let Source::Touch { label, .. } = &mut wet.source {
                    *label = to;
                }
            }
            self.changed(surface);
        }
    }

    /// The longest of the labels' minimums that any spray has, but for one that is left out.
    pub fn longest_label(&self, but: Option<(Code, Number)>) -> TimeDelta {
        let all = self.sprays.iter().flat_map(|(room, sprays)| sprays.iter().map(|spray| (*room, spray)));
        let counted = all.filter(|(room, spray)| but != Some((*room, spray.number)));
        counted.filter_map(|(_, spray)| spray.label).max().unwrap_or_default()
    }
}
