//! The rule book of an album with its numbers, and the names that rules may say.

use super::phrase::plainly;
use super::words::{capital, headed, strong, titled, worth, wrapped};
use super::{Answer, From};
use crate::plan::{Plan, RuleLine};
use crate::style::Style;
use crate::style::told::{self, Told};
use crate::vocabulary;

/// The rules of an album, tight ones first.
pub fn text(from: From<'_>, answer: Answer<'_>) -> String {
    match answer {
        Answer::Fits(plan) => book(from, plan),
        Answer::Clash(_) => super::fit::text(from, answer, super::fit::Detail::First),
        Answer::Undecided(why) => wrapped(&format!("Undecided: {}.", super::stopped(why)), "", ""),
    }
}

/// Rules in the order of a rule book: by ruler steps left, those of bare numbers last.
pub(super) fn ordered(plan: &Plan) -> Vec<&RuleLine> {
    let mut rules: Vec<&RuleLine> = plan.rules.iter().collect();
    rules.sort_by_key(|rule| (rule.steps_left.is_none(), rule.steps_left));
    rules
}

fn book(from: From<'_>, plan: &Plan) -> String {
    let title = format!("{}: the rules with their numbers", from.title);
    let mut text = titled(&title, from.ruler);
    let style = format!("Style `{}`: {}.", plan.style, plan.style_title);
    text.push_str(&wrapped(&style, "", "  "));
    let mut before = None;
    for rule in ordered(plan) {
        let group = heading(rule);
        if before.as_ref() != Some(&group) {
            text.push_str(&headed(&group));
            before = Some(group);
        }
        let of = if rule.of.is_empty() {
            String::new()
        } else {
            format!(" ({})", rule.of)
        };
        let wish = match (rule.wish, rule.kept) {
            (true, true) => " [wish]",
            (true, false) => " [wish, NOT KEPT]",
            _ => "",
        };
        text.push_str(&wrapped(
            &format!("{}{of}{wish}", capital(&rule.name)),
            "  ",
            "    ",
        ));
        text.push_str(&wrapped(
            &format!(
                "{}. [{}]",
                capital(&plainly(plan.ruler, &rule.because)),
                rule.source
            ),
            "    ",
            "    ",
        ));
    }
    text
}

fn heading(rule: &RuleLine) -> String {
    match rule.steps_left {
        None => "Numbers without a unit".to_owned(),
        Some(..0) => "Not kept".to_owned(),
        Some(0) => "Tight: less than one ruler step is left".to_owned(),
        Some(1) => "1 ruler step left".to_owned(),
        Some(n) => format!("{n} ruler steps left"),
    }
}

/// Every name that a rule may say, the lists, and the quantities of a style.
pub fn names(style: &Style) -> String {
    let mut text = format!("{}\n", strong("Names that a rule may say"));
    let listed = |all: Vec<Told>| -> String {
        let said = |it: Told| format!("{}: {} ({})", it.name, it.meaning, it.notes.join(", "));
        all.into_iter()
            .map(|it| wrapped(&said(it), "  ", "    "))
            .collect()
    };
    text.push_str(&listed(told::of_program(style)));
    let own = told::of_style(style);
    if !own.is_empty() {
        let head = format!(
            "Names of style `{}`; for `mat` above type one of its pieces",
            style.name
        );
        text.push_str(&headed(&head));
        text.push_str(&listed(own));
    }
    text.push_str(&headed("Lists for `for` and `sum`"));
    for (of, list, kind) in vocabulary::LISTS {
        let whose = if of.is_empty() {
            (*list).to_owned()
        } else {
            format!("{of}.{list}")
        };
        text.push_str(&format!("  {whose}: each is a {kind}\n"));
    }
    let head = format!(
        "Quantities of style `{}`, to be changed with `--set` or in [set]",
        style.name
    );
    text.push_str(&headed(&head));
    for quantity in &style.quantities {
        let value = worth(quantity.value);
        let metric = quantity
            .metric
            .map_or(String::new(), |m| format!(" (metric: {})", worth(m)));
        let measure = if quantity.measure { "; measure it" } else { "" };
        let said = format!(
            "{} = {value}{metric}: {}{measure}",
            quantity.name, quantity.why
        );
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    text
}
