//! What copies of an album use up, counted by hand.

use super::common::{shipped, style};
use tuckwright::cut::Trimmer;
use tuckwright::cut::pieces::{self, Made};
use tuckwright::shop::needs::{at_hand, needs};
use tuckwright::solve::Limits;
use tuckwright::style::shipped::shipped as shipped_style;
use tuckwright::{Outcome, work};

/// Seven leaves of two bags, three holes, five photos, a bought card for each cover.
#[test]
fn twelve_copies_and_a_spare_one() {
    let album = shipped("low-water");
    let style = style(shipped_style("upright").expect("it is shipped"));
    let worked = work(&style, &album, &Limits::default()).expect("it can be read");
    let Outcome::Fits(plan) = &worked.outcome else {
        panic!("it fits")
    };
    let made = Made {
        plan,
        album: &album,
        sets: 13,
    };
    let made = [made, Made::once(plan, &album)];
    let order = pieces::together(&made, Vec::new(), Trimmer::default());
    let needs = needs(&made, order);
    let things = needs.things.iter().map(|need| {
        let (name, there) = at_hand(&album.supplies, need.kind, need.at).expect("it is there");
        (name, need.count, there)
    });
    let things: Vec<_> = things.collect();
    // In the order of the supplies; both photos are trimmed from the larger print.
    let expected = [
        ("lunch brown", 2 * 14, 0),
        ("small brown", 5 * 14, 0),
        ("postcard print", (4 + 2) * 14, 8),
        ("tide table", 14, 12),
    ];
    assert_eq!(things[..4], expected);
    let [(ring, count, _)] = things[4..] else {
        panic!("{things:?}")
    };
    assert_eq!(
        (plan.ring.as_ref().expect("a ring").name.as_str(), 3 * 14),
        (ring, count)
    );
    let pieces: u64 = needs.order.wants.iter().map(|want| want.count).sum();
    let alone = pieces::order(plan, &album, Vec::new(), Trimmer::default());
    let once: u64 = alone.wants.iter().map(|want| want.count).sum();
    assert_eq!((pieces, needs.any_ring, needs.any_print), (14 * once, 0, 0));
}
