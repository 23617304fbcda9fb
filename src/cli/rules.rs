//! The rulebook and the policy as text.

use std::fmt::Write as _;

use super::text::Table;
use crate::domain::policy::{ITEMS, Policy, Unit};
use crate::domain::rule::Rule;
use crate::science::published::METHODS;

const CAUTION: &str = "The product's label, local codes and licensed practice rule over anything here. Estimates never permit \
                       anything. In doubt a bed is closed.";

pub(super) fn rules() -> String {
    let mut out = String::new();
    for rule in Rule::ALL {
        let source = rule.source().map_or("this tool's own rule", |source| source);
        let _ = writeln!(out, "{}\n  {}\n  source: {source}", rule.code(), rule.sentence());
    }
    let _ = writeln!(out, "\nThe methods of `dryhold estimate`\n");
    for method in &METHODS {
        let _ = writeln!(out, "{} (estimate {})\n  {}", method.name, method.estimate, method.answers);
        let _ = writeln!(out, "  range: {}", method.range());
        for citation in method.citations() {
            let _ = writeln!(out, "  source: {citation}");
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

/// Every setting with its bounds and where its default comes from; with the value in force, if a ledger is at hand.
pub(super) fn settings(policy: Option<&Policy>) -> String {
    let mut table = Table::new(&["SETTING", "IN FORCE", "DEFAULT", "MAY BE", "MEANING", "DEFAULT FROM"]);
    for (setting, item) in &ITEMS {
        let bounds = match item.unit {
            Unit::YesNo => "yes or no".to_owned(),
            Unit::Choice(words) => words.join(", "),
            _ => format!("{} to {}", item.show(item.least), item.show(item.most)),
        };
        let value = policy.map_or("—".to_owned(), |policy| item.show(policy.get(*setting)));
        let from = if item.source.contains(item.mark.word()) {
            item.source.to_owned()
        } else {
            format!("{} ({})", item.source, item.mark.word())
        };
        table.row([item.key, &value, &item.show(item.default), &bounds, item.meaning, &from]);
    }
    format!(
        "{table}\nThe lead or infection prevention sets one with `dryhold note set-policy SETTING --value VALUE`.\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_method_and_setting_is_listed_with_where_it_comes_from() {
        let (rules, settings) = (rules(), settings(None));
        assert!(Rule::ALL.iter().all(|rule| rules.contains(rule.sentence()) && rules.contains(rule.code())));
        let cited: usize = METHODS.iter().map(|method| method.citations().len()).sum();
        assert_eq!(rules.matches("source: ").count(), Rule::ALL.len() + cited);
        for method in &METHODS {
            assert!(rules.contains(method.answers) && rules.contains(&method.range()), "{}", method.name);
        }
        assert!(ITEMS.iter().all(|(_, item)| settings.contains(item.key) && settings.contains(item.source)));
    }
}
