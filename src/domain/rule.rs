//! Every rule by name: one short code, one sentence, and its source where there is one.
//!
//! Refusals, blockers, tasks, the rulebook on screen and the tests all name rules by these codes, and from this table alone.

use std::fmt;

macro_rules! rules {
    ($($group:literal { $($name:ident $code:literal $sentence:literal $source:expr;)+ })+) => {
        /// A rule's name.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Rule { $($($name),+),+ }

        impl Rule {
            pub const ALL: &'static [Self] = &[$($(Self::$name),+),+];

            /// The short code by which everything names this rule.
            pub fn code(self) -> &'static str {
                match self { $($(Self::$name => $code),+),+ }
            }
            /// What it is about: the heading that it stands under in the Rulebook.
            pub fn group(self) -> &'static str {
                match self { $($(Self::$name => $group),+),+ }
            }
            pub fn sentence(self) -> &'static str {
                match self { $($(Self::$name => $sentence),+),+ }
            }
            /// None: a rule of this tool's own.
            pub fn source(self) -> Option<&'static str> {
                match self { $($(Self::$name => $source),+),+ }
            }
        }
    };
}

const TRADE: Option<&str> = Some("common practice, no source");
const LABEL: Option<&str> = Some("EPA Label Review Manual, ch. 11: a product is used only as its label says");

rules! {
    "When a bed is open" {
        // The gravest first, which is the order in which blockers are told.
        LedgerWhole "ledger" "While the ledger cannot be read whole, every bed is closed." None;
        Damage "damage" "A missing, doubled or unreadable line closes its place until somebody who knows what it said attests it." None;
        Clocks "clocks" "Where two terminals' clocks disagree, every bed that rests on an entry of either is closed until somebody says by a clock on the wall which was wrong." None;
        Wet "wet" "No bed opens, and nobody enters but whoever sprays and, after the label's time, whoever checks, until every sprayed zone was found dry by touch." TRADE;
        BedWhole "bed-whole" "A bed is open only while all its own parts stand in its room." None;
        Unstated "unstated" "What a spray left unstated counts as unsafe until it is supplied: zones, finish, linens, label words." LABEL;
        Confirmed "confirmed" "A room with confirmed bed bugs takes no admission. Live bugs, and eggs seen by a trained person, confirm." TRADE;
        Suspect "suspect" "A room with an unsettled finding takes no admission until a complete negative inspection." TRADE;
        Prepared "prepared" "Preparation closes every bed of the room until return to service, or until somebody notes that nothing was applied." None;
        Coverage "coverage" "Every zone that has to be treated after a finding or a spray is sprayed, or done another way." TRADE;
        Bags "bags" "No bed opens while a bag of things that were in the room at the spray, or were stripped for it, is not laundered." TRADE;
        BedsMade "beds-made" "Every bed of the room is made after its last spray or stripping, on a dry mattress, from laundered bags or named stock." TRADE;
        Vacuum "vacuum" "Soft seating that was sprayed is vacuumed after it dried." TRADE;
        ReturnSigned "return" "A treated or prepared room opens only when the housekeeping lead signs its return to service." TRADE;
        SharedSpace "shared-space" "A bed is closed while a shared space that serves its room is." None;
        OutOfService "out-of-service" "A room out of service for another reason opens only when that is ended by name." None;
        Receiving "receiving" "A room that received a patient or a movable thing from a case room is inspected before its empty beds open." Some("Adeyeye et al. 2010, SHEA abstract 611: one maternity room became three in two days");
        WardWalk "ward-walk" "After setup, a changed room, a restore or a gap, beds stay closed until the lead has walked the ward." None;
        SecondLook "second-look" "An entry that closed a room and was voided opens nothing until a second person has looked in the room." None;
        Occupancy "occupancy" "A bed is open only while it is known to be empty; unconfirmed for longer than a shift it is unknown." None;
    }

    "What a move needs" {
        Label "label" "Nobody goes in to check before the label's own minimum, and no earlier check counts." LABEL;
        CheckTooLong "check-too-long" "A dry check that took too long, or was handed over, starts again." None;
        CompleteInspection "complete-inspection" "Only a full inspection of every zone, by a trained person, settles a finding or counts as a follow-up." Some("King County Public Health: only a live, identified bug is sure");
        Linens "linens" "A bed is made only from bags laundered before, or from stock kept outside rooms that are not clear." TRADE;
        LaundryCriteria "laundry" "A cycle settles a bag only if it meets both criteria, hygiene and insects, and treated things were washed." Some("Naylor & Boase 2010 (60 °C and hot drying read in it; times and load read in summaries); the hospital's chosen hygiene criterion");
        Witness "witness" "Destroying a bag needs a witness who is somebody else." None;
        PatientInside "patient-inside" "No room is sprayed with a patient inside, or anyone but those who apply; if it happened it is noted as an exception." LABEL;
        NothingToReturn "nothing-to-return" "Return to service is for a room that was prepared or treated." None;
        SprayLess "spray-less" "Less of a spray than was noted counts only when the lead and a second person have read the same off its label or slip, and its label never falls below the list's minutes." None;
        WrittenOff "written-off" "What nobody finds is given up only by the lead and infection prevention together, a thing only after every ward was walked since; seen again, it is wet, and a bag not laundered." None;
        SecondSignature "second-signature" "A second person signs where the policy or the reach of the damage asks for it." None;
        ClearDays "clear-days" "A room turns clear only after enough whole days since the last sign or spray, that day and today left out; where beds are noted here, a day counts only if somebody lay in the room." Some("StopPests in Housing (60 days); Cooper, Wang & Singh 2015: alive after 155 days in an empty flat");
        ClearChecks "clear-checks" "A room turns clear only after enough negative full inspections since the last evidence and the last spray." Some("derived from Wang, Singh, Zha & Cooper 2016");
        ClearState "clear-state" "Only a room in monitoring with nothing outstanding can turn clear." None;
        NothingApplied "nothing-applied" "That nothing was applied ends a preparation only if no spray was noted since." None;
    }

    "Time" {
        Future "future" "Facts and signatures never lie in the future." None;
        LateFact "late-fact" "A fact is noted late only by the person who did it, within the policy's minutes, or from a numbered slip or a downtime's sheets." None;
        SignedNow "signed-now" "Signatures are never noted late." None;
        ClockBack "clock-back" "A fact or signature noted before what is already noted does not count." None;
        Seen "seen" "A signature covers only what its signer was shown." None;
    }

    "People" {
        Roster "roster" "Only people on the roster note anything." None;
        Role "role" "Each move is for the roles that are trained for it." None;
        OwnHand "own-hand" "A person signs for nobody else." None;
        LastLead "last-lead" "The last housekeeping lead cannot leave the roster." None;
    }

    "Other entries and places" {
        Place "place" "A move names a place that exists." None;
        Target "target" "A move about another entry names one that it can be about." None;
        VoidReach "void-reach" "Only the lead or infection prevention may void what closed a room; a void or a setting is never voided." None;
        AmendField "amend-field" "Only fields that no rule reads can be amended." None;
        SettingValue "setting" "A setting stays within its bounds." None;
        Promise "promise" "A bed is promised to one patient at a time; a promise opens nothing." None;
        Unreadable "unreadable" "Nobody notes an unreadable line." None;
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn codes_are_short_plain_words_and_never_shared() {
        let codes: BTreeSet<_> = Rule::ALL.iter().map(|rule| rule.code()).collect();
        assert_eq!(codes.len(), Rule::ALL.len());
        for rule in Rule::ALL {
            assert!(
                rule.code().len() <= 20 && rule.code().chars().all(|c| c.is_ascii_lowercase() || c == '-'),
                "{rule}"
            );
            assert!(rule.sentence().ends_with('.'), "{rule}");
        }
    }
}
