//! Other bags, rings and prints of the supplies that would do.
//!
//! If nothing mends one part of the trouble and others have fixes, those are mended by their first
//! meanwhile.

use super::Swap;
use super::changed::Asked;
use super::changed::{Looser, Solved, Step, sizes_of};
use crate::album::Album;
use crate::program::InstanceId;
use std::collections::BTreeSet;

/// Albums that are solved to find things that would do instead.
const MOST_SWAPS: usize = 60;

impl Asked<'_> {
    /// Other bags, rings and prints of the supplies that would do, each by its own solve; where alone
    /// they do not, with these changes that mend the rest.
    pub(super) fn swaps<'b>(
        self,
        clashing: impl Iterator<Item = &'b InstanceId>,
        rest: &[Step],
    ) -> Vec<Swap> {
        let scene = &self.expanded.model.scene;
        let leaves: BTreeSet<usize> = clashing
            .flat_map(|id| {
                let scope = &self.expanded.scopes[id.0 as usize];
                let leaf = scope.0.first().and_then(|(_, t)| self.leaf_index(*t));
                match leaf {
                    Some(leaf) => vec![leaf],
                    // A rule of the whole album may be any leaf's doing.
                    None => (0..scene.leaves().len()).collect(),
                }
            })
            .collect();
        let mut tried = 0;
        let mut swaps = Vec::new();
        let mended = |album: &Album| {
            let (album, looser) = self.changed_in(album, rest, &BTreeSet::new())?;
            match sizes_of(self.style, &album, &looser, self.limits) {
                Solved::Fits(sizes) if !rest.is_empty() => Some((sizes, true)),
                _ => None,
            }
        };
        let mut offer = |kind, leaf: String, from: String, to: String, album: &Album| {
            tried += 1;
            if tried > MOST_SWAPS {
                return;
            }
            let found = match sizes_of(self.style, album, &Looser::default(), self.limits) {
                Solved::Fits(sizes) => Some((sizes, false)),
                _ => mended(album),
            };
            swaps.extend(found.map(|(sizes, with_others)| Swap {
                kind,
                leaf,
                from,
                to,
                with_others,
                sizes,
            }));
        };
        let supplies = &self.album.supplies;
        for at in leaves {
            let leaf = &self.album.leaves[at];
            let from = &supplies.bags[leaf.bag].name;
            for (n, bag) in supplies.bags.iter().enumerate() {
                if n != leaf.bag {
                    let mut album = self.album.clone();
                    album.leaves[at].bag = n;
                    offer(
                        "bag",
                        leaf.name.clone(),
                        from.clone(),
                        bag.name.clone(),
                        &album,
                    );
                }
            }
            for (i, insert) in leaf.inserts.iter().enumerate() {
                let Some(photo) = &insert.photo else { continue };
                for (n, print) in supplies.prints.iter().enumerate() {
                    if !photo.prints.contains(&n) && !photo.prints.is_empty() {
                        let mut album = self.album.clone();
                        if let Some(photo) = &mut album.leaves[at].inserts[i].photo {
                            photo.prints = vec![n];
                        }
                        let from = supplies.prints[photo.prints[0]].name.clone();
                        offer("print", leaf.name.clone(), from, print.name.clone(), &album);
                    }
                }
            }
        }
        if let Some(fixed) = &self.album.ring {
            for (n, ring) in supplies.rings.iter().enumerate() {
                if n != fixed.value {
                    let mut album = self.album.clone();
                    album.ring = Some(fixed.with(n));
                    let from = supplies.rings[fixed.value].name.clone();
                    offer("ring", String::new(), from, ring.name.clone(), &album);
                }
            }
        }
        swaps
    }
}
