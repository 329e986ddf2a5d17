//! An album with changes made in it, solved again: what a fix and a swap are proved by.

use super::fixes::Asked;
use super::soften::{Change, What};
use crate::album::{Album, Value};
use crate::length::{Interval, Length};
use crate::plan::of;
use crate::program::expand::expand;
use crate::program::{Force, InstanceId};
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use crate::text::Said;
use crate::vocabulary::scene::{Fact, ThingId};
use num_traits::ToPrimitive;

impl Asked<'_> {
    /// Changes the album, solves it again, and reads its sizes; nothing where it does not fit.
    pub(super) fn solved_again(
        self,
        changes: &[(&Change, i64)],
    ) -> Option<Vec<(String, Interval)>> {
        let mut album = self.album.clone();
        let mut accepted: Vec<(usize, String, i64)> = Vec::new();
        for (change, amount) in changes {
            let by = self.steps(*amount);
            match &change.what {
                What::Rule(id) => {
                    let rule = self.expanded.program.instances[id.0 as usize].rule;
                    accepted.push((rule, of(self.expanded, *id), *amount));
                }
                What::Quantity(name) => {
                    let Some(Fact::Length(given)) = self.expanded.model.scene.quantities.get(name)
                    else {
                        return None;
                    };
                    let value = self.expanded.model.scene.given(*given).value;
                    let less = Interval::exact(value.least().checked_sub(by)?);
                    set(&mut album, name, Value::Length(less));
                }
                What::Size { thing, field } => {
                    let now = self.expanded.model.scene.length(*thing, field)?;
                    self.cut_down(&mut album, *thing, field, shorter(now, by)?)?;
                }
                What::Template(field) => {
                    let template = &mut album.template;
                    let measure = match field.as_str() {
                        "edge" => &mut template.edge,
                        "first" => &mut template.first,
                        _ => &mut template.pitch,
                    };
                    // One that the punch fixes is not the album's to move.
                    *measure = Some(shorter((*measure)?, by)?);
                }
                What::LeaveOut(_) => {}
            }
        }
        // Inserts are taken out last: until then their places in the leaf are those of the scene.
        for (change, _) in changes {
            if let What::LeaveOut(thing) = &change.what {
                let name = self.expanded.model.scene.thing(*thing).label.clone();
                let leaf = self.leaf_index(*thing)?;
                album.leaves[leaf].inserts.retain(|i| i.name != name);
                let of_it = |size: &str| size == name || size.starts_with(&format!("{name}."));
                album.leaves[leaf].given.retain(|(n, _)| !of_it(&n.value));
                album.leaves[leaf]
                    .measured
                    .retain(|(n, _)| !of_it(&n.value));
            }
        }
        let mut prefer = std::mem::take(&mut album.prefer);
        prefer.retain(|said| self.still_there(&album, &said.value));
        album.prefer = prefer;
        sizes_of(self.style, &album, &accepted, self.limits)
    }

    /// A line of `prefer` that names nothing any more is left out with what it named.
    fn still_there(self, album: &Album, line: &str) -> bool {
        let Some((word, rest)) = line.trim().split_once(char::is_whitespace) else {
            return true;
        };
        if word == "keep" {
            return true;
        }
        let name = rest.rsplit(':').next().unwrap_or(rest).trim();
        let head = name.split('.').next().unwrap_or(name);
        let inserts = |a: &Album| {
            a.leaves
                .iter()
                .any(|l| l.inserts.iter().any(|i| i.name == head))
        };
        !inserts(self.album) || inserts(album)
    }

    pub(super) fn leaf_index(self, thing: ThingId) -> Option<usize> {
        let scene = &self.expanded.model.scene;
        let leaf = scene.leaf_of(thing)?;
        scene.leaves().iter().position(|l| *l == leaf)
    }

    /// Gives a size anew, where the album gave it.
    fn cut_down(self, album: &mut Album, thing: ThingId, field: &str, to: Interval) -> Option<()> {
        let name = self.expanded.model.scene.size_name(thing, field);
        let leaf = &mut album.leaves[self.leaf_index(thing)?];
        if let Some((_, value)) = leaf.given.iter_mut().find(|(n, _)| n.value == name) {
            *value = to;
            return Some(());
        }
        let label = &self.expanded.model.scene.thing(thing).label;
        let insert = leaf.inserts.iter_mut().find(|i| i.name == *label)?;
        let said = Said {
            value: to,
            place: insert.place,
        };
        match field {
            "width" => insert.width = Some(said),
            _ => insert.height = Some(said),
        }
        Some(())
    }
}

/// Sets a quantity of the style.
pub(super) fn set(album: &mut Album, name: &str, value: Value) {
    let place = album.style.place;
    match album.set.iter_mut().find(|(n, _)| n.value == name) {
        Some((_, said)) => said.value = value,
        None => album.set.push((
            Said {
                value: name.to_owned(),
                place,
            },
            Said { value, place },
        )),
    }
}

/// Both ends of an interval made smaller.
pub(super) fn shorter(value: Interval, by: Length) -> Option<Interval> {
    Interval::between(
        value.least().checked_sub(by)?,
        value.most().checked_sub(by)?,
    )
}

/// Solves an album in which less is accepted of some rules; its sizes, or `None` if it does not fit
/// or the time is up.
pub(super) fn sizes_of(
    style: &Style,
    album: &Album,
    accepted: &[(usize, String, i64)],
    limits: &Limits,
) -> Option<Vec<(String, Interval)>> {
    if limits.is_over() {
        return None;
    }
    let mut expanded = expand(style, album).ok()?;
    for (rule, which, amount) in accepted {
        for at in 0..expanded.program.instances.len() {
            let instance = &expanded.program.instances[at];
            let same = instance.rule == *rule && instance.force == Force::Must;
            if !same || of(&expanded, InstanceId(at as u32)) != *which {
                continue;
            }
            for row in instance.rows.clone() {
                // Whole units of the row in so many ruler steps.
                let steps = expanded.row_steps[row];
                let units =
                    (num_rational::Ratio::from_integer(i128::from(*amount)) / steps).floor();
                let row = &mut expanded.program.rows[row];
                row.most = row.most.checked_add(units.to_integer().to_i64()?)?;
            }
        }
    }
    let solution = solve::solve(&expanded.program, limits);
    if !matches!(
        solution.verdict,
        Verdict::FitsBest | Verdict::FitsFound { .. }
    ) {
        return None;
    }
    let named = expanded
        .sizes
        .iter()
        .filter(|s| s.field == "width" || s.field == "height");
    named
        .map(|size| {
            let at = size.unknown.0 as usize;
            let length = expanded.ruler.length_of(solution.values[at])?;
            Some((
                expanded.program.unknowns[at].name.clone(),
                Interval::exact(length),
            ))
        })
        .collect()
}
