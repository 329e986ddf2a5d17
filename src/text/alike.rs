//! What is alike stands together, in the order of first mention.

/// What has the same key, together.
pub fn grouped<K: PartialEq, T>(all: impl IntoIterator<Item = (K, T)>) -> Vec<(K, Vec<T>)> {
    let mut groups = Vec::new();
    for (key, one) in all {
        let alike = |(known, _): &(K, Vec<T>)| *known == key;
        match groups.iter().position(alike) {
            Some(at) => groups[at].1.push(one),
            None => groups.push((key, vec![one])),
        }
    }
    groups
}

/// How many of each there are.
pub fn summed<K: PartialEq>(all: impl IntoIterator<Item = (K, i64)>) -> Vec<(K, i64)> {
    let sum = |counts: Vec<i64>| counts.into_iter().fold(0, i64::saturating_add);
    let groups = grouped(all).into_iter();
    groups.map(|(key, counts)| (key, sum(counts))).collect()
}
