//! Bags that do not fit: what stops each, in few words, and what it would need.

use super::{measures, size};
use crate::compare::{Answer, Broken, Comparison, Conflict, Mend, Offer};
use crate::length::{Length, Ruler};
use crate::plan::sentence::readable;
use crate::report::phrase;
use crate::report::why::{self, sense};
use crate::report::words::{capital, count, headed, spaced, wrapped};
use crate::report::{From, stopped as undecided};

pub(super) fn text(from: From<'_>, compared: &Comparison) -> String {
    let open = |(offer, _): &(Offer, _)| matches!(offer.answer, Answer::Undecided(_));
    let heading = match compared.failed.iter().filter(|one| open(one)).count() {
        0 => "What does not fit, least trouble first",
        n if n == compared.failed.len() => "Undecided",
        _ => "What does not fit, least trouble first, and what is undecided",
    };
    let mut text = headed(heading);
    for (offer, mend) in &compared.failed {
        let head = format!("{}, {}", offer.bag.name, measures(from.ruler, &offer.bag));
        text.push_str(&wrapped(&head, "  ", "    "));
        let said = stopped(from.ruler, &offer.answer);
        text.push_str(&wrapped(&said, "    ", "      "));
        if let Some(said) = mend.as_ref().and_then(|mend| mended(from, compared, mend)) {
            text.push_str(&wrapped(&said, "    ", "      "));
        }
    }
    let told = compared.failed.len() as u64;
    let more = (compared.counts.clash + compared.counts.open).saturating_sub(told);
    if more > 0 {
        let others = count(more, "other", "others");
        text.push_str(&format!("  And {others}: `--csv` tells of every bag.\n"));
    }
    text
}

/// Why there is no photo, in few words.
pub fn stopped(ruler: Ruler, answer: &Answer) -> String {
    match answer {
        Answer::Fits(_) => String::new(),
        Answer::Clash(conflict) => clash(ruler, conflict),
        Answer::Undecided(why) => format!("Undecided: {}.", undecided(*why)),
        Answer::NotWorkable(errors) => {
            let all: Vec<String> = errors.iter().map(ToString::to_string).collect();
            format!("Cannot be worked out: {}.", all.join("; "))
        }
        Answer::Defect(defect) => format!(
            "tuckwright made a mistake: {defect}. Please report it, with the album and the bag."
        ),
    }
}

fn clash(ruler: Ruler, conflict: &Conflict) -> String {
    let each: Vec<String> = conflict
        .rules
        .iter()
        .map(|rule| broken(ruler, rule))
        .collect();
    let mut said = match each.len() {
        1 => each.join(""),
        _ => format!("these cannot all hold: {}", each.join("; ")),
    };
    if !conflict.proved_minimal {
        said.push_str(" (some of them may not be needed)");
    }
    format!("{}.", capital(&said))
}

fn broken(ruler: Ruler, broken: &Broken) -> String {
    let of = match broken.of.is_empty() {
        true => String::new(),
        false => format!(" ({})", spaced(&broken.of)),
    };
    let missing = match broken.missing {
        Some((by, off)) if by > Length::ZERO => {
            let sense = sense(off);
            let by = phrase::screen(ruler, &readable(ruler, by));
            format!(": {by} {sense}")
        }
        _ => String::new(),
    };
    format!("{}{of}{missing}", broken.rule)
}

/// What would make it fit.
fn mended(from: From<'_>, compared: &Comparison, mend: &Mend) -> Option<String> {
    if mend.fixes.is_empty() {
        return mend
            .hopeless
            .then(|| "Nothing that may be changed makes it fit.".to_owned());
    }
    let changes = mend.fixes.iter().flat_map(|fix| &fix.changes);
    let changes: Vec<String> = changes.map(|change| why::change(from, change)).collect();
    let proved = match mend
        .fixes
        .iter()
        .all(|fix| fix.proved && fix.sizes.is_some())
    {
        true => "worked out, and less would not do",
        false => "a little less may do too",
    };
    let photo = match compared.at_least.is_empty() {
        true => None,
        false => with_photo(from, compared, mend),
    };
    let photo = photo.unwrap_or_default();
    Some(format!(
        "It would fit{photo}: {} ({proved}).",
        changes.join("; and ")
    ))
}

/// The photo that comes out: what fits may still give less than is asked for.
fn with_photo(from: From<'_>, compared: &Comparison, mend: &Mend) -> Option<String> {
    let of = compared.scope.photo.as_ref();
    let sizes = mend.fixes.iter().find_map(|fix| fix.sizes.as_ref())?;
    sizes.iter().find_map(|(name, width)| {
        let of_photo = name.strip_suffix("width")?;
        let on = of_photo.strip_suffix(".photo.")?;
        let is_it =
            |(leaf, insert): &(String, String)| on == insert || on == format!("{leaf}: {insert}");
        let high = format!("{of_photo}height");
        let (_, height) = sizes.iter().find(|(name, _)| *name == high)?;
        let shown = size(from.ruler, *width, *height);
        of.is_none_or(is_it)
            .then(|| format!(", with a photo of {shown}"))
    })
}
