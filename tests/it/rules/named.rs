//! A test named after every rule of the Rulebook, which tells its stories; and the Rulebook has every rule that is named here.

use dryhold::domain::rule::Rule;

use super::{
    clearing, clocks, corners, damage, lessened, loads, lost, moving, opening, people, sceptic, time, treating, voiding,
};

macro_rules! named {
    ($($name:ident $rule:ident { $($story:path),+ })+) => {
        $(
            #[test]
            fn $name() {
                assert_eq!(format!("rule_{}", Rule::$rule.code().replace('-', "_")), stringify!($name));
                $($story();)+
            }
        )+

        #[test]
        fn every_rule_has_a_test_named_after_it() {
            let named = [$(Rule::$rule),+];
            let untold: Vec<&Rule> = Rule::ALL.iter().filter(|rule| !named.contains(rule)).collect();
            assert!(untold.is_empty(), "{untold:?}");
            assert_eq!(named.len(), Rule::ALL.len(), "one is named twice");
        }
    };
}

named! {
    rule_ledger LedgerWhole { opening::a_ledger_that_cannot_be_read_whole_closes_every_bed }
    rule_damage Damage { sceptic::a_line_that_closes_nowhere_that_exists_closes_everywhere, damage::a_line_whose_place_is_unknown_closes_everything }
    rule_wet Wet { sceptic::an_inspection_does_not_dry_a_wet_thing_that_came_with_the_suspicion, sceptic::voiding_a_spray_closes_the_room_in_which_it_really_happened }
    rule_bed_whole BedWhole { moving::a_bed_whose_mattress_is_elsewhere_is_closed_and_asks_no_more_for_it }
    rule_unstated Unstated { corners::the_linens_of_an_occupied_bed_are_asked_for_whatever_was_said_of_the_patient, treating::a_product_that_is_not_on_the_list_is_put_on_it_first }
    rule_confirmed Confirmed { treating::only_a_trained_person_confirms_and_bites_alone_never_do, voiding::voiding_a_return_closes_the_room_at_once }
    rule_suspect Suspect { corners::a_suspect_room_treated_without_spray_still_waits_for_its_inspection, treating::only_a_trained_person_confirms_and_bites_alone_never_do }
    rule_prepared Prepared { opening::a_receiving_room_keeps_its_empty_beds_closed_until_it_was_inspected, opening::preparation_closes_every_bed_until_return_or_until_nothing_was_applied }
    rule_coverage Coverage { treating::spray_on_powered_equipment_wets_it_pays_nothing_and_is_an_exception, treating::wiping_a_wet_zone_takes_its_dry_check_and_its_treatment_back }
    rule_bags Bags { time::a_numbered_slip_may_be_noted_later, sceptic::what_a_settled_spray_left_out_closes_the_room_again }
    rule_beds_made BedsMade { treating::a_bed_made_before_its_mattress_was_found_dry_does_not_count, treating::a_bed_made_while_the_dry_check_was_going_on_does_not_count }
    rule_vacuum Vacuum { treating::a_sprayed_soft_seat_is_vacuumed_after_it_dried }
    rule_return ReturnSigned { sceptic::a_bed_whose_mattress_was_wiped_while_wet_is_made_again, sceptic::a_void_reaches_back_over_three_settled_chapters }
    rule_shared_space SharedSpace { opening::a_shared_bathroom_closes_the_rooms_that_it_serves_and_leaves_their_state_alone, people::rooms_that_a_space_no_longer_serves_wait_for_a_walk_too }
    rule_out_of_service OutOfService { opening::out_of_service_is_lifted_only_by_name_and_a_return_to_service_leaves_it }
    rule_receiving Receiving { moving::a_thing_from_a_clear_room_asks_only_for_an_inspection, opening::a_thing_from_a_room_that_is_not_clear_makes_the_receiver_suspect }
    rule_ward_walk WardWalk { people::a_room_that_is_changed_waits_for_a_walk_of_its_ward, people::rooms_that_a_space_no_longer_serves_wait_for_a_walk_too }
    rule_second_look SecondLook { moving::a_journey_that_is_voided_is_taken_back_and_its_closing_needs_a_look, voiding::a_look_that_is_voided_closes_again }
    rule_occupancy Occupancy { opening::a_note_of_an_empty_bed_does_not_outlive_a_later_patient_noted_late, time::what_was_seen_or_felt_damp_can_always_be_noted_however_late }
    rule_label Label { corners::the_labels_minutes_are_those_on_the_hospitals_list, treating::a_check_counts_from_its_beginning_so_one_begun_too_early_does_not }
    rule_check_too_long CheckTooLong { treating::a_dry_check_that_takes_too_long_starts_again }
    rule_complete_inspection CompleteInspection { treating::a_complete_negative_inspection_by_a_trained_person_settles_a_suspicion }
    rule_linens Linens { sceptic::a_bed_is_not_made_from_a_bag_that_was_still_in_the_laundry, treating::a_bed_is_not_made_from_linens_that_were_laundered_later }
    rule_laundry LaundryCriteria { treating::a_load_that_fails_is_kept_and_settles_nothing, treating::a_measured_load_settles_by_what_its_entry_keeps, loads::a_trace_that_cannot_be_the_bags_settles_nothing_however_it_came_into_the_ledger, loads::a_doubtful_trace_counts_only_with_a_word_of_its_own }
    rule_witness Witness { treating::destroying_a_bag_needs_a_witness_who_is_somebody_else }
    rule_patient_inside PatientInside { sceptic::a_spray_noted_late_is_not_refused_for_a_patient_who_came_afterwards, treating::spraying_with_a_patient_inside_is_refused_as_a_plan_and_noted_if_it_happened }
    rule_nothing_to_return NothingToReturn { treating::there_is_nothing_to_return_in_a_room_that_was_not_touched, people::a_second_check_stands_only_while_nothing_changes_and_never_for_its_own_signer }
    rule_spray_less SprayLess { lessened::no_label_falls_below_the_minutes_of_the_list, lessened::what_is_stated_after_a_correction_only_adds_again }
    rule_written_off WrittenOff { lost::a_thing_is_given_up_only_after_every_ward_was_walked_and_is_wet_where_it_turns_up, lost::a_bag_that_is_given_up_holds_up_no_room_and_makes_no_bed }
    rule_second_signature SecondSignature { people::a_second_check_that_differs_closes_what_it_found, damage::a_gap_of_several_is_attested_once_and_whole }
    rule_clear_days ClearDays { clearing::no_room_turns_clear_by_standing_empty, clearing::sixty_days_and_three_negative_inspections_make_a_room_clear }
    rule_clear_checks ClearChecks { clearing::days_alone_do_not_make_a_room_clear }
    rule_clear_state ClearState { clearing::any_live_find_starts_the_count_again }
    rule_nothing_applied NothingApplied { opening::nothing_applied_is_refused_after_a_spray, opening::preparation_closes_every_bed_until_return_or_until_nothing_was_applied }
    rule_future Future { time::a_spray_does_not_end_before_it_began_nor_in_the_future, time::facts_and_signatures_never_lie_in_the_future_and_a_closing_entry_is_asked_about_once }
    rule_late_fact LateFact { time::a_fact_is_noted_late_only_by_the_person_who_did_it_and_within_the_hour, time::what_stands_on_a_downtimes_sheets_is_noted_late_until_the_ward_is_walked }
    rule_signed_now SignedNow { time::settings_are_never_back_dated, time::signatures_are_never_noted_late_and_cover_only_what_was_shown }
    rule_clocks Clocks { clocks::a_bed_that_rests_on_a_clock_in_question_is_closed_until_somebody_says_which_was_wrong, clocks::a_check_by_a_clock_that_was_ahead_falls_and_its_work_is_done_again }
    rule_clock_back ClockBack { time::a_fact_noted_before_what_is_already_noted_does_not_count }
    rule_seen Seen { time::signatures_are_never_noted_late_and_cover_only_what_was_shown, damage::an_unreadable_line_of_a_ward_closes_the_ward_and_needs_two_signatures }
    rule_roster Roster { people::nobody_who_is_not_on_the_roster_notes_anything_and_a_reader_only_reads }
    rule_role Role { people::every_move_is_for_the_roles_that_are_trained_for_it, people::the_policy_may_ask_for_a_certificate }
    rule_own_hand OwnHand { people::a_person_signs_for_nobody_else }
    rule_last_lead LastLead { people::the_last_lead_cannot_leave_and_settings_are_for_the_lead_or_infection_prevention }
    rule_place Place { damage::a_number_of_the_hospital_is_not_one_rooms, people::moving_a_patient_names_the_receiving_room_so_that_an_unreadable_line_closes_it_too }
    rule_target Target { damage::what_is_one_rooms_is_attested_by_one, treating::a_specimen_identified_as_something_else_and_a_negative_inspection_take_a_confirmation_back }
    rule_void_reach VoidReach { voiding::a_void_takes_away_neither_a_walk_that_is_owed_nor_a_damaged_line, voiding::voiding_a_return_closes_the_room_at_once }
    rule_amend_field AmendField { voiding::only_fields_that_no_rule_reads_are_amended }
    rule_setting SettingValue { people::a_setting_stays_within_its_bounds_and_none_opens_a_bed_by_itself }
    rule_promise Promise { moving::a_bed_is_promised_to_one_patient_and_the_promise_opens_nothing }
    rule_unreadable Unreadable { damage::nobody_notes_an_unreadable_line_by_hand }
}
