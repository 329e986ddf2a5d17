//! What holds the photos of several bags back: every rule once, with its number.

use super::photo;
use crate::compare::rank::Ranked;
use crate::compare::{Offer, Photo};
use crate::plan::Reason;
use crate::report::words::{capital, headed, numbered, wrapped};

/// What holds the photos: every rule once, numbered; what limits all of them stands there once.
pub(super) struct Held {
    all: Vec<String>,
    own: Vec<String>,
}

impl Held {
    pub fn of(ranked: &[Ranked]) -> Held {
        let each: Vec<Vec<String>> = ranked
            .iter()
            .filter_map(|r| photo(&r.offer).map(holders))
            .collect();
        let in_all = |rule: &String| each.len() > 1 && each.iter().all(|of| of.contains(rule));
        let mut held = Held {
            all: Vec::new(),
            own: Vec::new(),
        };
        for rule in each.iter().flatten() {
            let list = if in_all(rule) {
                &mut held.all
            } else {
                &mut held.own
            };
            if !list.contains(rule) {
                list.push(rule.clone());
            }
        }
        held
    }

    /// Numbers of the rules that hold this photo and not all of them.
    pub fn own(&self, offer: &Offer) -> Vec<usize> {
        let of = photo(offer).map(holders).unwrap_or_default();
        let numbered = self.own.iter().enumerate();
        let here = numbered.filter(|(_, rule)| of.contains(rule));
        here.map(|(n, _)| n + 1).collect()
    }

    pub fn cell(&self, offer: &Offer) -> String {
        let own: Vec<String> = self.own(offer).iter().map(usize::to_string).collect();
        own.join(" ")
    }

    pub fn text(&self) -> String {
        if self.all.is_empty() && self.own.is_empty() {
            return String::new();
        }
        let mut text = headed("What holds the photo back");
        text.push_str(&numbered(self.own.iter().map(|rule| format!("{rule}."))));
        for rule in &self.all {
            text.push_str(&wrapped(&format!("{rule}."), " all  ", "      "));
        }
        text
    }
}

/// The rules that hold a photo, by their names; where no rule does, what else.
pub fn holders(photo: &Photo) -> Vec<String> {
    let reasons = || photo.width_by.iter().chain(&photo.height_by);
    let rule = |reason: &Reason| matches!(reason, Reason::Rule { .. });
    let rules = reasons().any(rule);
    let mut all = Vec::new();
    for reason in reasons().filter(|reason| !rules || rule(reason)) {
        let said = match reason {
            Reason::Rule { name, .. } => capital(name),
            Reason::Preference(title) => format!("Limited by an earlier wish: {title}"),
            Reason::Limit(_) => "Its own limit".to_owned(),
            Reason::Given => "Its size is given".to_owned(),
            Reason::Measured => "Its size was measured".to_owned(),
            Reason::Unknown => "A limit was met before that was found".to_owned(),
        };
        if !all.contains(&said) {
            all.push(said);
        }
    }
    all
}
