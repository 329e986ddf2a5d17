//! What things have by a name, looked up without a copy of the name.

use crate::scene::ThingId;
use std::borrow::Borrow;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// What a thing has by a name.
pub(super) fn named<'m, T>(
    all: &'m BTreeMap<(ThingId, String), T>,
    thing: ThingId,
    name: &str,
) -> Option<(&'m (ThingId, String), &'m T)> {
    all.get_key_value(&(thing, name) as &dyn Key)
}

/// A thing and a name, whoever owns the text of it: looking one up copies nothing.
trait Key {
    fn parts(&self) -> (ThingId, &str);
}

impl Key for (ThingId, String) {
    fn parts(&self) -> (ThingId, &str) {
        (self.0, &self.1)
    }
}

impl Key for (ThingId, &str) {
    fn parts(&self) -> (ThingId, &str) {
        *self
    }
}

impl<'k> Borrow<dyn Key + 'k> for (ThingId, String) {
    fn borrow(&self) -> &(dyn Key + 'k) {
        self
    }
}

impl PartialEq for dyn Key + '_ {
    fn eq(&self, other: &Self) -> bool {
        self.parts() == other.parts()
    }
}

impl Eq for dyn Key + '_ {}

impl PartialOrd for dyn Key + '_ {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// As owned keys are ordered.
impl Ord for dyn Key + '_ {
    fn cmp(&self, other: &Self) -> Ordering {
        self.parts().cmp(&other.parts())
    }
}
