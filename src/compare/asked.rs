//! What is compared: which leaves get the other bag, what is left out with the old one, and which
//! photo is looked at.
//!
//! Whatever an album measured on a leaf that is made again is left out: it was measured on the old
//! bag, or cut for it. What it gives is the maker's wish and stays, but for measures of the bag
//! itself (`leaf.width`, `pocket.edge`, depths). The template, the rings and everything that is
//! tucked in stay as they are. What a bag has no place for, a pocket mat say, is not made, and a
//! preference for it is passed over.

use super::Scope;
use crate::album::Album;
use crate::program::expand::expand;
use crate::program::{ExpandError, expand::Expanded};
use crate::style::Style;
use crate::supplies::Bag;
use std::collections::BTreeSet;

/// Why nothing can be compared.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CompareError {
    #[error("no leaf is called `{name}`")]
    NoSuchLeaf { name: String, known: Vec<String> },
    #[error("no part of this album is made of a bag, so no other bag can take its place")]
    NoBags,
    #[error("the style cannot be laid over the album")]
    Expand(Vec<ExpandError>),
}

/// A photo of an album: places of its leaf and of its insert there.
pub type PhotoAt = (usize, usize);

/// An album whose bags are exchanged.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    pub style: &'a Style,
    /// Without what belonged to the old bags.
    album: Album,
    /// Places of the leaves that get the other bag.
    leaves: Vec<usize>,
    /// The photo that is looked at, where the album prefers one; else the largest is.
    photo: Option<PhotoAt>,
    /// What was left out with the old bags, as `leaf: size`.
    pub left_out: Vec<String>,
}

impl<'a> Asked<'a> {
    /// All leaves of the album, or those called `leaf`, are to be made of other bags.
    ///
    /// # Errors
    /// No leaf is called so, or the album is wrong as it stands.
    pub fn new(
        style: &'a Style,
        album: &Album,
        leaf: Option<&str>,
    ) -> Result<Asked<'a>, CompareError> {
        // What is wrong whatever the bag is said of the album, not of every bag.
        expand(style, album).map_err(CompareError::Expand)?;
        if album.leaves.is_empty() {
            return Err(CompareError::NoBags);
        }
        let all = album.leaves.iter().enumerate();
        let leaves: Vec<usize> = all
            .filter(|(_, one)| leaf.is_none_or(|name| one.name == name))
            .map(|(at, _)| at)
            .collect();
        if let (Some(name), true) = (leaf, leaves.is_empty()) {
            return Err(CompareError::NoSuchLeaf {
                name: name.to_owned(),
                known: album.leaves.iter().map(|l| l.name.clone()).collect(),
            });
        }
        // Sizes of the bag itself, by what comes before their point.
        let of_style = style.names.iter().map(|rule| rule.name.head());
        let frames = style.parts.iter().map(|part| part.name.as_str());
        let of_the_bag: BTreeSet<&str> = of_style.chain(frames).chain(["leaf"]).collect();
        let mut album = album.clone();
        let mut left_out = Vec::new();
        for &at in &leaves {
            let leaf = &mut album.leaves[at];
            let several = leaves.len() > 1;
            let name = leaf.name.clone();
            let mut told = |size: &str| {
                left_out.push(match several {
                    true => format!("{name}: {size}"),
                    false => size.to_owned(),
                });
            };
            for (size, _) in std::mem::take(&mut leaf.measured) {
                told(&size.value);
            }
            leaf.given.retain(|(size, _)| {
                let head = size.value.split('.').next().unwrap_or("");
                let stays = !of_the_bag.contains(&head);
                if !stays {
                    told(&size.value);
                }
                stays
            });
        }
        keep_bags_of_others(&mut album, &leaves);
        let photo = preferred(&album, &leaves);
        Ok(Asked {
            style,
            album,
            leaves,
            photo,
            left_out,
        })
    }

    /// The album with this bag in the place of the old ones.
    pub fn with(&self, bag: &Bag) -> Album {
        self.album.with_bag(&self.leaves, bag)
    }

    /// The rules laid over the album with this bag, and that album: preferences for what the bag has
    /// no place for are left out of it.
    ///
    /// # Errors
    /// What the album says and this bag does not have.
    pub fn expanded(&self, bag: &Bag) -> Result<(Album, Expanded), Vec<ExpandError>> {
        let mut album = self.with(bag);
        let errors = match expand(self.style, &album) {
            Ok(expanded) => return Ok((album, expanded)),
            Err(errors) => errors,
        };
        let mut places = Vec::new();
        for error in &errors {
            match error {
                ExpandError::Prefer { place, .. } => places.push(*place),
                _ => return Err(errors),
            }
        }
        album.prefer.retain(|line| !places.contains(&line.place));
        let expanded = expand(self.style, &album)?;
        Ok((album, expanded))
    }

    /// Places of the leaves that get the other bag.
    pub(super) fn leaves(&self) -> &[usize] {
        &self.leaves
    }

    /// Whether a leaf gets the other bag.
    pub fn gets_it(&self, leaf: usize) -> bool {
        self.leaves.contains(&leaf)
    }

    /// The photo that is looked at, where the album prefers one; else it is the largest.
    pub fn photo(&self) -> Option<PhotoAt> {
        self.photo
    }

    /// What is compared, in the maker's names.
    pub fn scope(&self) -> Scope {
        let name = |leaf: usize| self.album.leaves[leaf].name.clone();
        Scope {
            leaves: self.leaves.iter().map(|&at| name(at)).collect(),
            all: self.leaves.len() == self.album.leaves.len(),
            bags: self.bags(),
            left_out: self.left_out.clone(),
            photo: self.photo.map(|(leaf, insert)| {
                let insert = &self.album.leaves[leaf].inserts[insert];
                (name(leaf), insert.name.clone())
            }),
        }
    }

    /// Bags of this name in leaves that keep theirs.
    pub(super) fn elsewhere(&self, name: &str) -> i64 {
        let leaves = self.album.leaves.iter().enumerate();
        let others = leaves.filter(|(at, leaf)| {
            let bag = self.album.supplies.bags.get(leaf.bag);
            !self.gets_it(*at) && bag.is_some_and(|bag| bag.name == name)
        });
        others.fold(0, |sum, (_, leaf)| sum.saturating_add(leaf.count))
    }

    /// Bags that the album takes.
    pub fn bags(&self) -> i64 {
        let counts = self.leaves.iter().map(|&at| self.album.leaves[at].count);
        counts.fold(0, i64::saturating_add)
    }
}

/// Leaves the bags of the other leaves only: what is no choice here is not offered as a fix.
fn keep_bags_of_others(album: &mut Album, leaves: &[usize]) {
    let mut kept: Vec<usize> = Vec::new();
    for (at, leaf) in album.leaves.iter_mut().enumerate() {
        if leaves.contains(&at) {
            continue;
        }
        let known = kept.iter().position(|bag| *bag == leaf.bag);
        leaf.bag = known.unwrap_or_else(|| {
            kept.push(leaf.bag);
            kept.len() - 1
        });
    }
    let bags = std::mem::take(&mut album.supplies.bags);
    album.supplies.bags = kept.iter().filter_map(|&n| bags.get(n).cloned()).collect();
}

/// The first photo of these leaves that the album wants large.
fn preferred(album: &Album, leaves: &[usize]) -> Option<PhotoAt> {
    album.prefer.iter().find_map(|line| {
        let (word, rest) = line.value.trim().split_once(char::is_whitespace)?;
        if !matches!(word, "large" | "largest") {
            return None;
        }
        let (leaf, name) = match rest.split_once(':') {
            Some((leaf, name)) => (Some(leaf.trim()), name.trim()),
            None => (None, rest.trim()),
        };
        let on = name
            .strip_suffix(".photo")
            .or_else(|| name.strip_suffix(".photo.width"))
            .or_else(|| name.strip_suffix(".photo.height"))?;
        let here = leaves.iter().filter(|&&at| {
            let leaf_name = album.leaves[at].name.as_str();
            leaf.is_none_or(|wanted| wanted == leaf_name)
        });
        here.copied().find_map(|at| {
            let inserts = album.leaves[at].inserts.iter();
            let mut photos = inserts.enumerate().filter(|(_, i)| i.photo.is_some());
            let (insert, _) = photos.find(|(_, insert)| insert.name == on)?;
            Some((at, insert))
        })
    })
}
