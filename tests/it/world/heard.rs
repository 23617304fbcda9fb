//! What the notes tell of: what wets, what was felt, what the tags are, where things went. Nothing is concluded here.

use super::place::{BEDS, Minute, ROOMS, Room, Spot, What, on_the_list, surfaces, ward_of};
use super::said::{Note, Say, Wet, longest_label, on_the_list_at};
use super::ways::{Claim, Claimed};

const DAY: Minute = 24 * 60;

/// Something that wets.
#[derive(Clone, Debug)]
pub(super) struct Wetting {
    pub(super) number: u64,
    pub(super) from: Minute,
    pub(super) until: Minute,
    pub(super) label: Minute,
    /// What notes of it name, each with the room for which it was written. None: none names anything.
    pub(super) names: Option<Vec<(String, Room)>>,
    pub(super) room: Room,
    /// Where else a void says that it was.
    pub(super) elsewhere: Vec<Room>,
    pub(super) voided: bool,
    /// Looks after its void: where and when.
    pub(super) looks: Vec<(Room, Minute)>,
    pub(super) title: &'static str,
}

/// A touch check.
#[derive(Clone)]
pub(super) struct Feeling {
    pub(super) room: Room,
    pub(super) began: Minute,
    pub(super) dry: Vec<String>,
}

/// A surface as the notes speak of it.
#[derive(Clone, PartialEq, Debug)]
pub(super) enum Subject {
    Known(What),
    /// A tag of which nobody said which part of its first room it is: in this world it is that one, or a surface of its own.
    Tag(String, Option<What>),
}

#[derive(Clone)]
pub(super) struct Heard {
    pub(super) wettings: Vec<Wetting>,
    pub(super) feelings: Vec<Feeling>,
    pub(super) subjects: Vec<(Subject, Vec<Claimed>)>,
    /// Each tag, and what it is said to be.
    pub(super) tags: Vec<(String, Vec<Subject>)>,
    /// Tags that different notes say to be different parts, each with what it may be: all that one of those notes says.
    in_doubt: Vec<(String, Vec<Vec<Subject>>)>,
    /// What may be treated and is not laundered, and from which room.
    pub(super) linens: Vec<(Room, String)>,
    pub(super) all: Vec<What>,
    /// In which rooms each bed ever was as a bed, by any note.
    pub(super) beds: Vec<(usize, Room)>,
}

impl Heard {
    /// What the notes tell of, for each way in which what they say of the tags can be meant.
    pub(super) fn all_of(notes: &[Note]) -> Vec<Self> {
        let told = Self::of(notes);
        let mut all = vec![told];
        for at in 0..all[0].in_doubt.len() {
            let (tag, may_be) = all[0].in_doubt[at].clone();
            let is = |it: &Self, of: &Vec<Subject>| {
                let mut it = it.clone();
                it.tags.iter_mut().filter(|(known, _)| *known == tag).for_each(|(_, known)| known.clone_from(of));
                it
            };
            all = all.iter().flat_map(|it| may_be.iter().map(|of| is(it, of)).collect::<Vec<_>>()).take(32).collect();
        }
        all.iter_mut().for_each(|it| {
            it.hear_moves(notes);
            it.hear_guests();
            it.linens = super::linens::treated_and_not_laundered(notes, &|bed, room, from, until| {
                it.may_have_stood(bed, room, from, until)
            });
        });
        // As of the moves: no world breaks with more of the notes than it has to.
        if all.len() == 1 {
            return all;
        }
        let broken: Vec<usize> = all.iter().map(Self::broken).collect();
        let least = broken.iter().min().copied();
        all.into_iter().zip(broken).filter(|(_, broken)| Some(*broken) == least).map(|(it, _)| it).collect()
    }

    fn of(notes: &[Note]) -> Self {
        let mut it = Self {
            wettings: vec![],
            feelings: vec![],
            subjects: vec![],
            tags: vec![],
            in_doubt: vec![],
            linens: vec![],
            all: surfaces(),
            beds: (0..BEDS.len()).map(|bed| (bed, bed)).collect(),
        };
        it.hear_beds(notes);
        it.hear_wettings(notes);
        it.hear_feelings(notes);
        it.hear_tags(notes);
        it
    }

    fn hear_beds(&mut self, notes: &[Note]) {
        for note in notes {
            let of_tag = |tag: &str| BEDS.iter().position(|bed| tag == format!("BED-{bed}"));
            match &note.say {
                Say::Beds { room, beds } => self.beds.extend(beds.iter().map(|bed| (*bed, *room))),
                Say::Left { tag, to: Some(room), .. } | Say::Arrived { tag, room, .. } => {
                    self.beds.extend(of_tag(tag).map(|bed| (bed, *room)));
                }
                _ => {}
            }
        }
    }

    /// Point 1. "It holds the sprays, wipings and arrivals noted, those voided and not looked at, and one spray of everything
    /// for each line unread; no others."
    fn hear_wettings(&mut self, notes: &[Note]) {
        for note in notes {
            let blank = Wetting {
                number: note.number,
                from: note.happened,
                until: note.happened,
                label: 0,
                names: None,
                room: 0,
                elsewhere: vec![],
                voided: false,
                looks: vec![],
                title: "",
            };
            match &note.say {
                Say::Spray { room, until, product, zones, .. } => {
                    self.wettings.push(self.spray(
                        notes,
                        (note, note.happened),
                        *room,
                        *until,
                        product,
                        zones.as_ref(),
                    ));
                }
                Say::Wiped { room, zones } => {
                    let names = zones.as_ref().map(|zones| in_room(zones, *room));
                    self.wettings.push(Wetting { names, room: *room, title: "wiping", ..blank.clone() });
                }
                Say::Check { room, damp, .. } if !damp.is_empty() => {
                    self.wettings.push(Wetting {
                        names: Some(in_room(damp, *room)),
                        room: *room,
                        title: "damp",
                        ..blank.clone()
                    });
                }
                // Nobody knows where it was.
                Say::Seen { room, tag } | Say::Arrived { room, tag, .. } if is_given_up(notes, note, tag) => {
                    let names = Some(vec![(tag.clone(), *room)]);
                    self.wettings.push(Wetting { names, room: *room, title: "turned up", ..blank.clone() });
                }
                // From then on it is where it went.
                Say::Left { room, tag, to, .. } if is_given_up(notes, note, tag) => {
                    let names = Some(vec![(tag.clone(), *room)]);
                    let room = to.unwrap_or(*room);
                    self.wettings.push(Wetting { names, room, title: "turned up", ..blank.clone() });
                }
                Say::Arrived { room, tag, wet, .. } if *wet != Wet::No => {
                    let names = Some(vec![(tag.clone(), *room)]);
                    self.wettings.push(Wetting { names, room: *room, title: "arrived wet", ..blank.clone() });
                }
                // What nobody can date: from a day before the gap until the walk, after which there is no such spray.
                Say::Gap { ward } => {
                    let walked =
                        |n: &&Note| n.number > note.number && matches!(n.say, Say::Walk { ward: w, .. } if w == *ward);
                    if notes.iter().any(|n| walked(&n)) {
                        continue;
                    }
                    for room in (0..ROOMS.len()).filter(|room| ward_of(*room) == *ward) {
                        let from = note.noted - DAY;
                        let until = Minute::MAX / 8;
                        self.wettings.push(Wetting { room, from, until, title: "gap", ..blank.clone() });
                    }
                }
                _ => {}
            }
            // Felt under its tag it has turned up, and is felt again.
            if let Say::Check { room, began, dry, damp } = &note.say {
                for tag in dry.iter().chain(damp).filter(|tag| is_given_up(notes, note, tag)) {
                    let names = Some(vec![(tag.clone(), *room)]);
                    let (from, until) = (*began, *began);
                    self.wettings.push(Wetting {
                        names,
                        from,
                        until,
                        room: *room,
                        title: "turned up",
                        ..blank.clone()
                    });
                }
            }
            // Found wet: as a spray of which nothing was noted, begun at most a day before.
            if let Say::Walk { wet: Some(rooms), .. } = &note.say {
                for room in rooms {
                    let told = self.spray(notes, (note, note.noted - DAY), *room, None, "", None);
                    self.wettings.push(Wetting { title: "found wet on a walk", ..told });
                }
            }
        }
        for wetting in &mut self.wettings {
            for note in notes {
                let Say::Void { entry, really, .. } = &note.say else { continue };
                if *entry != wetting.number {
                    continue;
                }
                wetting.voided = true;
                wetting.elsewhere.extend(*really);
                for look in notes {
                    if let Say::Look { room, void } = &look.say
                        && *void == note.number
                    {
                        wetting.looks.push((*room, look.happened));
                    }
                }
            }
        }
    }

    /// Point 2. "Each spray was in any one room that a note of it gives; it ended at the latest end noted (none: at its
    /// noting), its label is the longest noted (none: the longest known), where no two people lowered it since; it hit what any note names, or, none naming, all
    /// that this world had there."
    fn spray(
        &self,
        notes: &[Note],
        (note, begun): (&Note, Minute),
        room: Room,
        until: Option<Minute>,
        product: &str,
        zones: Option<&Vec<String>>,
    ) -> Wetting {
        let mut ends: Vec<Minute> = until.into_iter().collect();
        let mut labels: Vec<Minute> = on_the_list_at(notes, note.number, product).into_iter().collect();
        let mut names = zones.map(|zones| in_room(zones, room)).unwrap_or_default();
        let is_it = |spray: u64| spray == note.number || is_void_of(notes, spray, note.number);
        for more in notes {
            match &more.say {
                Say::Complete { room, spray, zones, until, label, .. } if is_it(*spray) => {
                    ends.extend(*until);
                    labels.extend(*label);
                    names.extend(zones.as_ref().map(|zones| in_room(zones, *room)).unwrap_or_default());
                }
                // Two people read the same off it: what was said before was a mistake.
                Say::Less { room, spray, zones, until, label } if is_it(*spray) && is_second(notes, more) => {
                    ends = until.map_or(ends, |until| vec![until]);
                    labels = label.map_or(labels, |label| vec![label]);
                    names = zones.as_ref().map_or(names, |zones| in_room(zones, *room));
                }
                _ => {}
            }
        }
        Wetting {
            number: note.number,
            from: begun,
            until: ends.into_iter().max().unwrap_or(note.noted).max(begun),
            label: labels.into_iter().max().unwrap_or_else(|| longest_label(notes)),
            names: if names.is_empty() { None } else { Some(names) },
            room,
            elsewhere: vec![],
            voided: false,
            looks: vec![],
            title: "spray",
        }
    }

    /// Point 4. "A check felt exactly what stood in its room in this world; it is true of that, and says nothing of what did
    /// not."
    fn hear_feelings(&mut self, notes: &[Note]) {
        for note in notes {
            let Say::Check { room, began, dry, .. } = &note.say else { continue };
            if is_voided(notes, note.number) {
                continue;
            }
            self.feelings.push(Feeling { room: *room, began: *began, dry: dry.clone() });
        }
    }

    /// What each tag is: the parts that a note says left under it; else a surface of its own. Said to be two, it is both.
    fn hear_tags(&mut self, notes: &[Note]) {
        for thing in super::place::THINGS {
            self.tags.push((thing.to_owned(), vec![Subject::Known(What::Thing { tag: thing })]));
        }
        let all = surfaces();
        for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
            let (tag, room, zones) = match &note.say {
                Say::Left { room, tag, zones, .. } => (tag, *room, zones.as_slice()),
                Say::Arrived { room, tag, .. } => (tag, *room, [].as_slice()),
                _ => continue,
            };
            let parts =
                zones.iter().filter_map(|name| on_the_list(name, room)).map(|at| Subject::Known(all[at].clone()));
            let at = self.tags.iter().position(|(known, _)| known == tag).unwrap_or_else(|| {
                self.tags.push((tag.clone(), vec![]));
                self.tags.len() - 1
            });
            for part in parts {
                if !self.tags[at].1.contains(&part) {
                    self.tags[at].1.push(part);
                }
            }
        }
        // What was seen without a tag, or with another, is none of several that a tag was said to be.
        for note in notes.iter().filter(|note| !is_voided(notes, note.number)) {
            let names: Vec<(&String, Room)> = match &note.say {
                Say::Seen { room, tag } => vec![(tag, *room)],
                Say::Check { room, dry, damp, .. } => dry.iter().chain(damp).map(|name| (name, *room)).collect(),
                _ => continue,
            };
            let is_felt = matches!(note.say, Say::Check { .. });
            for (name, room) in names {
                let listed = on_the_list(name, room);
                let own = match (listed, self.tags.iter().find(|(tag, _)| tag == name)) {
                    // A part on a room's list may be ticked unseen.
                    (Some(_), _) if is_felt => continue,
                    (Some(at), _) => Subject::Known(all[at].clone()),
                    (None, Some((_, of))) if of.len() == 1 => of[0].clone(),
                    _ => continue,
                };
                for (_, of) in self.tags.iter_mut().filter(|(tag, of)| of.len() > 1 && !tag.starts_with("BED-")) {
                    of.retain(|it| *it != own);
                }
            }
        }
        // Said by different notes to be different parts it is what one of them says.
        for (tag, of) in self.tags.iter().filter(|(_, of)| of.len() > 1) {
            let mut may_be: Vec<Vec<Subject>> = vec![];
            for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
                let Say::Left { room, tag: named, zones, .. } = &note.say else { continue };
                let parts = zones.iter().filter_map(|name| on_the_list(name, *room));
                let parts: Vec<Subject> = parts.map(|at| Subject::Known(all[at].clone())).collect();
                let parts: Vec<Subject> = of.iter().filter(|it| parts.contains(it)).cloned().collect();
                if named == tag && !parts.is_empty() && !may_be.contains(&parts) {
                    may_be.push(parts);
                }
            }
            if may_be.len() > 1 {
                self.in_doubt.push((tag.clone(), may_be));
            }
        }
        for (tag, of) in self.tags.iter_mut().filter(|(_, of)| of.is_empty()) {
            of.push(Subject::Tag(tag.clone(), None));
            let from = |note: &Note| match &note.say {
                Say::Left { room, tag: of, .. } if of == tag => Some((note.happened, 0, Some(*room))),
                Say::Arrived { from, tag: of, .. } if of == tag => Some((note.happened, 1, *from)),
                _ => None,
            };
            let told = notes.iter().filter(|note| !is_taken_back(notes, note.number));
            let first = told.filter_map(from).min().and_then(|(_, _, room)| room);
            for part in all.iter().filter(|what| first.is_some_and(|room| what.at_first() == Spot::In(room))) {
                of.push(Subject::Tag(tag.clone(), Some(part.clone())));
            }
        }
        for what in all.iter().filter(|what| !matches!(what, What::Thing { .. })) {
            self.subjects.push((Subject::Known(what.clone()), vec![]));
        }
        for (_, known) in &self.tags {
            for subject in known {
                if !self.subjects.iter().any(|(it, _)| it == subject) {
                    self.subjects.push((subject.clone(), vec![]));
                }
            }
        }
    }

    fn hear_moves(&mut self, notes: &[Note]) {
        let all = surfaces();
        let mut book: Vec<Room> = (0..BEDS.len()).collect();
        for note in notes.iter().filter(|note| !is_taken_back(notes, note.number)) {
            let claimed = |claim: Claim| Claimed {
                at: note.happened,
                noted: note.noted,
                number: note.number,
                voided: is_voided(notes, note.number),
                alone: false,
                claim,
            };
            match &note.say {
                Say::Left { room, tag, zones, to } => {
                    let named: Vec<Subject> = zones
                        .iter()
                        .filter_map(|z| on_the_list(z, *room))
                        .map(|at| Subject::Known(all[at].clone()))
                        .collect();
                    self.claim(tag, &named, claimed(Claim::Left { from: *room, to: *to }));
                }
                Say::Arrived { room, tag, from, .. } => {
                    self.claim(tag, &[], claimed(Claim::Arrived { at: *room, from: *from }));
                }
                // To feel what bears a tag is to see it there. A part on a room's list may be ticked unseen.
                Say::Check { room, began, dry, damp } if !is_voided(notes, note.number) => {
                    let tags: Vec<String> = self.tags.iter().map(|(tag, _)| tag.clone()).collect();
                    for tag in tags {
                        let ticked = dry.contains(&tag) || damp.contains(&tag);
                        if ticked && on_the_list(&tag, *room).is_none() {
                            let seen = Claimed { at: *began, ..claimed(Claim::Seen { at: *room }) };
                            self.claim(&tag, &[], seen);
                        }
                    }
                }
                Say::GivenUp { tag } if is_second(notes, note) => {
                    // What was noted under a tag of its own before is to be found by that.
                    let goes_on = |it: &Subject| {
                        let left = |other: &str| {
                            notes.iter().any(|n| {
                                n.number < note.number
                                    && matches!(&n.say, Say::Left { tag: of, zones, .. } if of == other && !zones.is_empty())
                            })
                        };
                        let goes_by = |other: &str| left(other) && !is_given_up(notes, note, other);
                        self.tags.iter().any(|(other, of)| other != tag && *of == [it.clone()] && goes_by(other))
                    };
                    let of = self.tags.iter().find(|(known, _)| known == tag).map(|(_, of)| of.clone());
                    let lost: Vec<Subject> = of.into_iter().flatten().filter(|it| !goes_on(it)).collect();
                    if !lost.is_empty() {
                        self.claim(tag, &lost, claimed(Claim::GivenUp));
                    }
                }
                Say::Seen { room, tag } if !is_voided(notes, note.number) => {
                    self.claim(tag, &[], claimed(Claim::Seen { at: *room }));
                    // A part that goes by a tag of its own was seen with its bed, unless it was taken out.
                    let has_own = |it: &Subject| self.tags.iter().any(|(_, of)| *of == [it.clone()]);
                    for (_, claims) in self.subjects.iter_mut().filter(|(it, _)| tag.starts_with("BED-") && has_own(it))
                    {
                        for it in claims.iter_mut().filter(|it| it.number == note.number) {
                            it.claim = Claim::BedSeen { at: *room };
                        }
                    }
                    if let Some(at) = on_the_list(tag, *room) {
                        let own = Subject::Known(all[at].clone());
                        for (_, claims) in self.subjects.iter_mut().filter(|(it, _)| *it == own) {
                            claims.push(claimed(Claim::Seen { at: *room }));
                        }
                    }
                    let bed = BEDS.iter().position(|bed| tag == bed || tag.starts_with(&format!("{bed}/")));
                    let stands =
                        bed.and_then(|bed| self.last_seen(&Subject::Known(What::BedPart { bed, part: "frame" })));
                    let apart = |claims: &[Claimed]| {
                        let was = claims.last().and_then(seen_at);
                        stands == Some(*room) && was.is_some_and(|was| was != *room)
                    };
                    for (subject, claims) in &mut self.subjects {
                        let is_other = match &*subject {
                            Subject::Known(it) => {
                                matches!(it, What::BedPart { bed: of, .. } if Some(*of) == bed) && it.name() != *tag
                            }
                            Subject::Tag(..) => false,
                        };
                        // Where it was last seen by itself elsewhere, while the bed stood here, it is not on it.
                        if is_other && !apart(claims) {
                            claims.push(claimed(Claim::BedSeen { at: *room }));
                        }
                    }
                }
                Say::Beds { room, beds } => {
                    for bed in beds.iter().filter(|bed| book[**bed] != *room) {
                        let from = book[*bed];
                        // Until the walk, or until somebody tells of the bed otherwise.
                        let prefix = format!("{}/", BEDS[*bed]);
                        let is_of_bed = |tag: &str, zones: &[String]| {
                            tag == format!("BED-{}", BEDS[*bed])
                                || [tag]
                                    .into_iter()
                                    .chain(zones.iter().map(String::as_str))
                                    .any(|it| it.starts_with(&prefix))
                        };
                        let told = |n: &&Note| match &n.say {
                            Say::Walk { ward, .. } => *ward == ward_of(*room),
                            Say::Left { tag, zones, .. } => is_of_bed(tag, zones),
                            Say::Arrived { tag, .. } | Say::Seen { tag, .. } => is_of_bed(tag, &[]),
                            _ => false,
                        };
                        let walked = notes.iter().filter(|n| n.number > note.number).find(told).map(|n| n.happened);
                        let is_before = |n: &&Note| {
                            n.number < note.number && matches!(n.say, Say::Walk { ward, .. } if ward == ward_of(from))
                        };
                        let booked = notes.iter().filter(|n| n.number < note.number).rfind(
                            |n| matches!(&n.say, Say::Beds { room, beds } if *room == from && beds.contains(bed)),
                        );
                        let since =
                            notes.iter().filter(is_before).rfind(|n| booked.is_some_and(|it| n.number > it.number));
                        let since = since.map_or(Minute::MIN / 4, |n| n.happened);
                        for (subject, claims) in &mut self.subjects {
                            if matches!(subject, Subject::Known(What::BedPart { bed: of, .. }) if of == bed) {
                                // The book was changed in the order of its notes, whatever the terminals' clocks said.
                                let booked = claims.iter().filter(|it| matches!(it.claim, Claim::Rolled { .. }));
                                let at = booked.map(|it| it.at).fold(note.happened, Minute::max);
                                let claim = Claim::Rolled { from, to: *room, since, walked };
                                claims.push(Claimed { at, ..claimed(claim) });
                            }
                        }
                    }
                    beds.iter().for_each(|bed| book[*bed] = *room);
                }
                _ => {}
            }
        }
        for (_, claims) in &mut self.subjects {
            claims.sort_by_key(|claim| (claim.at, claim.number));
        }
    }

    /// Whether a bed, which is where its frame is, may have been in the room at some time between these.
    fn may_have_stood(&self, bed: usize, room: Room, from: Minute, until: Minute) -> bool {
        let frame = Subject::Known(What::BedPart { bed, part: "frame" });
        self.subjects.iter().filter(|(it, _)| *it == frame).any(|(subject, claims)| {
            self.ways(subject, claims).iter().any(|way| super::ways::was_in(way, room, from, until))
        })
    }

    fn last_seen(&self, subject: &Subject) -> Option<Room> {
        let (_, claims) = self.subjects.iter().find(|(it, _)| it == subject)?;
        claims.last().and_then(seen_at)
    }

    /// A tag of which nobody said what it is may be on whatever came into its first room, and was not told of since.
    fn hear_guests(&mut self) {
        let mut more: Vec<(String, Subject, Vec<Claimed>)> = vec![];
        for (tag, of) in &self.tags {
            let unknown = Subject::Tag(tag.clone(), None);
            let Some((_, own)) = self.subjects.iter().find(|(it, _)| *it == unknown && of.contains(it)) else {
                continue;
            };
            let Some(first) = own.first() else { continue };
            let (Claim::Left { from: room, .. } | Claim::Arrived { from: Some(room), .. }) = first.claim else {
                continue;
            };
            for (subject, claims) in &self.subjects {
                let Subject::Known(what) = subject else { continue };
                let came = |it: &Claimed| match it.claim {
                    Claim::Arrived { at, .. } | Claim::Seen { at } => at == room,
                    Claim::Left { to, .. } => to == Some(room),
                    Claim::BedSeen { .. } | Claim::Rolled { .. } | Claim::GivenUp => false,
                };
                let is_before = claims.iter().all(|it| it.at < first.at && it.number < first.number && !it.voided);
                // It stood there then, or it did until it was given up.
                let given_up = |it: &Claimed| matches!(it.claim, Claim::GivenUp) && !it.voided;
                let told: Vec<Claimed> = claims.iter().filter(|it| !given_up(it)).cloned().collect();
                let stood = |claims: &[Claimed]| {
                    self.ways(subject, claims).iter().any(|way| super::ways::spot(way, first.at) == Spot::In(room))
                };
                let is_there = || stood(claims) || (claims.iter().any(given_up) && stood(&told));
                if what.at_first() != Spot::In(room) && is_before && claims.iter().any(came) && is_there() {
                    let all = claims.iter().chain(own).cloned().collect();
                    more.push((tag.clone(), Subject::Tag(tag.clone(), Some(what.clone())), all));
                }
            }
        }
        for (tag, subject, claims) in more {
            if let Some((_, of)) = self.tags.iter_mut().find(|(known, _)| *known == tag) {
                of.push(subject.clone());
            }
            self.subjects.push((subject, claims));
        }
    }

    /// A note about a tag is about all that the tag is.
    fn claim(&mut self, tag: &str, named: &[Subject], claimed: Claimed) {
        let of = self.tags.iter().find(|(known, _)| known == tag).map(|(_, of)| of.clone()).unwrap_or_default();
        // Where a note names what the tag is not on, either what it names left, or what bears the tag.
        let is_misnamed = !named.is_empty() && !named.iter().any(|it| of.contains(it));
        let meant = of.iter().filter(|it| is_misnamed || named.is_empty() || named.contains(it));
        for subject in meant.chain(named.iter().filter(|_| is_misnamed)) {
            let Some((_, claims)) = self.subjects.iter_mut().find(|(it, _)| it == subject) else { continue };
            let voided = claimed.voided || is_misnamed;
            claims.push(Claimed { alone: of.len() == 1, voided, ..claimed.clone() });
        }
    }
}

/// Where it was seen, if this says so.
fn seen_at(it: &Claimed) -> Option<Room> {
    match it.claim {
        Claim::Seen { at } if !it.voided => Some(at),
        _ => None,
    }
}

fn in_room(names: &[String], room: Room) -> Vec<(String, Room)> {
    names.iter().map(|name| (name.clone(), room)).collect()
}

/// Whether somebody had said the same before, and nobody besides.
pub(super) fn is_second(notes: &[Note], said: &Note) -> bool {
    notes.iter().filter(|note| note.number < said.number && note.say == said.say).count() % 2 == 1
}

/// Whether this tag was given up by then.
fn is_given_up(notes: &[Note], then: &Note, tag: &str) -> bool {
    let given_up = |note: &&Note| matches!(&note.say, Say::GivenUp { tag: of } if of == tag) && is_second(notes, note);
    let is_of = |say: &Say| match say {
        Say::Seen { tag: of, .. } | Say::Arrived { tag: of, .. } | Say::Left { tag: of, .. } => of == tag,
        Say::Check { dry, damp, .. } => dry.iter().chain(damp).any(|of| of == tag),
        _ => false,
    };
    let told = |note: &Note| is_of(&note.say) && !is_taken_back(notes, note.number);
    let before = || notes.iter().take_while(|note| note.number < then.number);
    // The first that is told of it after that; what happened before it was given up is no news of where it is.
    let Some(off) = before().filter(given_up).last() else { return false };
    then.happened > off.happened
        && !before().any(|note| note.number > off.number && note.happened > off.happened && told(note))
}

/// Whether this entry is a void of that one.
pub(super) fn is_void_of(notes: &[Note], void: u64, target: u64) -> bool {
    notes.iter().any(|note| note.number == void && matches!(note.say, Say::Void { entry, .. } if entry == target))
}

/// Voided, and a second person has looked: it was not so.
pub(super) fn is_taken_back(notes: &[Note], number: u64) -> bool {
    notes.iter().any(|note| {
        let is_looked_at =
            |void: u64| notes.iter().any(|look| matches!(look.say, Say::Look { void: of, .. } if of == void));
        matches!(note.say, Say::Void { entry, .. } if entry == number) && is_looked_at(note.number)
    })
}

pub(super) fn is_voided(notes: &[Note], number: u64) -> bool {
    notes.iter().any(|note| matches!(note.say, Say::Void { entry, .. } if entry == number))
}
