//! The order of bags, and the unbeaten, against a plain reading of what they mean.

use crate::common::upright;
use crate::shelf::{one_leaf, shelf};
use std::cmp::Ordering;
use tuckwright::compare::rank::{AtLeast, Least, Ranking, Respect};
use tuckwright::compare::{Asked, At, Candidate, Offer, each};
use tuckwright::length::parse_length;
use tuckwright::solve::Limits;
use tuckwright::supplies::Money;

/// The demo's bags, several times over with other prices.
fn offers() -> Vec<Offer> {
    let style = upright();
    let album = one_leaf(None);
    let asked = Asked::new(&style, &album, None).expect("it can be compared");
    let bags = (0..4i64).flat_map(|round| {
        shelf().into_iter().enumerate().map(move |(n, mut bag)| {
            // Later bags of the shelf are larger, and here they are dearer too, more or less.
            let n = n as i64;
            let off = (n * 7 + round * 5) % 6;
            bag.price = (off != 3).then_some(Money(300 + 15 * n + 10 * off));
            Candidate {
                bag,
                at: At::default(),
            }
        })
    });
    let mut all = Vec::new();
    let done: Result<(), ()> = each(&asked, &Limits::default(), bags, |offer| {
        all.push(offer);
        Ok(())
    });
    assert_eq!(done, Ok(()));
    all
}

/// Larger is better; what is not known is worst.
fn worth(offer: &Offer) -> [i128; 3] {
    let photo = offer
        .fit()
        .and_then(|fit| fit.photo.as_ref())
        .expect("a photo")
        .size();
    let price = offer
        .cost
        .price
        .map_or(i128::MIN, |Money(money)| -i128::from(money));
    [photo.0.nm().into(), photo.1.nm().into(), price]
}

/// The photo is one respect: its shorter side, then both sides; the price another.
fn as_good(one: &Offer, other: &Offer) -> bool {
    let (a, b) = (worth(one), worth(other));
    a[..2] >= b[..2] && a[2] >= b[2]
}

#[test]
fn the_best_come_first_and_what_is_equal_shares_its_place() {
    let offers = offers();
    let by = [Respect::Photo, Respect::Price];
    for most in [1, 5, offers.len()] {
        let mut ranking = Ranking::new(&by, &[], most);
        offers.iter().cloned().for_each(|offer| ranking.take(offer));
        assert_eq!((ranking.counts.taken, ranking.counts.fit), (52, 52));
        let (ranked, failed) = ranking.finish();
        assert!(failed.is_empty());
        let placed: Vec<_> = ranked
            .iter()
            .filter_map(|r| r.rank.map(|rank| (rank, r)))
            .collect();
        assert_eq!(placed.len(), most.min(offers.len()));
        for (rank, one) in &placed {
            let better = offers
                .iter()
                .filter(|o| worth(o) > worth(&one.offer))
                .count();
            assert_eq!(*rank, better as u64 + 1);
        }
        let order = |pair: &[_]| {
            let [(_, a), (_, b)]: &[(u64, &tuckwright::compare::rank::Ranked); 2] =
                pair.try_into().expect("two");
            match worth(&a.offer).cmp(&worth(&b.offer)) {
                Ordering::Equal => a.at < b.at,
                other => other == Ordering::Greater,
            }
        };
        assert!(placed.windows(2).all(order));
    }
}

#[test]
fn the_unbeaten_are_all_there_however_few_are_shown() {
    let offers = offers();
    let by = [Respect::Photo, Respect::Price];
    let beaten = |one: &Offer| {
        let better = |other: &&Offer| as_good(other, one) && !as_good(one, other);
        offers.iter().any(|other| better(&other))
    };
    let mut wanted: Vec<[i128; 3]> = offers.iter().filter(|o| !beaten(o)).map(worth).collect();
    let many = wanted.len() as u64;
    wanted.sort_unstable();
    wanted.dedup();
    assert!(wanted.len() > 2);
    for most in [1, 3, 100] {
        let mut ranking = Ranking::new(&by, &[], most);
        offers.iter().cloned().for_each(|offer| ranking.take(offer));
        let (ranked, _) = ranking.finish();
        let marked: Vec<_> = ranked.iter().filter(|r| r.unbeaten).collect();
        let mut found: Vec<[i128; 3]> = marked.iter().map(|r| worth(&r.offer)).collect();
        found.sort_unstable();
        found.dedup();
        assert_eq!(found, wanted, "of {most}");
        // Each group once, with those that are equal to it.
        let mut groups = std::collections::BTreeMap::new();
        for one in &marked {
            groups.insert(worth(&one.offer), one.ties + 1);
        }
        assert_eq!(groups.values().sum::<u64>(), many);
    }
}

#[test]
fn what_gives_less_than_is_asked_for_is_counted_apart() {
    let length = |text: &str| parse_length(text).expect("a length");
    let offers = offers();
    // Either way up.
    let least = Least::Photo(length("6 in"), length("4 in"));
    let least = [AtLeast {
        words: "photo 6 x 4 in".to_owned(),
        least,
    }];
    let enough = |offer: &&Offer| {
        let [shorter, both, _] = worth(offer);
        shorter >= i128::from(length("4 in").nm())
            && both - shorter >= i128::from(length("6 in").nm())
    };
    let many = offers.iter().filter(enough).count() as u64;
    let mut ranking = Ranking::new(&[Respect::Photo], &least, 100);
    offers.iter().cloned().for_each(|offer| ranking.take(offer));
    assert!(many > 0 && many < 52);
    assert_eq!(
        (ranking.counts.fit, ranking.counts.small),
        (many, 52 - many)
    );
    assert_eq!(ranking.finish().0.len() as u64, many);
}

/// The same bags in the same order, whatever the number of threads.
#[test]
fn any_number_of_threads_gives_the_same() {
    let told = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        pool.install(|| format!("{:?}", offers()))
    };
    assert_eq!(told(1), told(4));
}
