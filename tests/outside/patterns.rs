//! Hole patterns that others have printed. Beside each value stands its source and how it came here:
//! READ = read in a stored copy (mostly secondary, not the paid standard), DER = derived here,
//! MEM = from memory.

use tuckwright::length::{Length, parse_length};
use tuckwright::supplies::patterns::Pattern;

fn pattern(name: &str) -> &'static Pattern {
    Pattern::named(name).expect("a published pattern")
}

fn length(text: &str) -> Length {
    parse_length(text).expect("a length")
}

#[track_caller]
fn spans(name: &str, holes: i64, span: &str) {
    assert_eq!(pattern(name).holes(), holes, "{name}");
    assert_eq!(pattern(name).span(), length(span), "{name}");
}

#[test]
fn iso_838() {
    // ISO 838:1974, by an encyclopaedia's article on hole punches; JIS S 6041 by a catalogue. READ.
    spans("ISO 838", 2, "80 mm");
    assert_eq!(pattern("ISO 838").diameter, Some(length("6 mm")));
    assert_eq!(pattern("ISO 838").edge, Some(length("12 mm")));
    assert_eq!(pattern("ISO 838").pitch(), Some(length("80 mm")));
    // The four-hole extension: 80 + 80 + 80, DIN 821-2:1973. READ.
    spans("ISO 838 four-hole", 4, "240 mm");
    // The middle two are those of ISO 838: the same middle, 80 mm apart. DER.
    let four = pattern("ISO 838 four-hole").offsets;
    assert_eq!(four[2].checked_sub(four[1]), Some(length("80 mm")));
    assert_eq!(four[1].checked_add(four[2]), Some(length("240 mm")));
}

#[test]
fn inch_patterns() {
    // Three holes 4 1/4 in apart: the same article, and a page of printing tips. READ.
    assert_eq!(pattern("US three-hole").pitch(), Some(length("4 1/4 in")));
    spans("US three-hole", 3, "8 1/2 in");
    assert_eq!(pattern("US three-hole").diameter, None);
    assert_eq!(pattern("US three-hole").edge, None);
    // Two at the top, 2 3/4 in apart: the page of printing tips. READ.
    spans("US two-hole top", 2, "2 3/4 in");
    // Half letter: span 5 1/2 in, a page on organisers. READ; spacing DER.
    spans("half letter three-hole", 3, "5 1/2 in");
    assert_eq!(
        pattern("half letter three-hole").pitch(),
        Some(length("2 3/4 in"))
    );
}

#[test]
fn ring_patterns() {
    // A page on organisers, READ: 1-1-2 1/4-2 1/4-1-1 in makes 8 1/2 in = 2 x 4 1/4; sum DER.
    spans("seven-ring letter", 7, "8 1/2 in");
    assert_eq!(
        pattern("seven-ring letter").span(),
        pattern("US three-hole").span()
    );
    // 1-1-3/4-3/4-1-1 in makes 5 1/2 in = 2 x 2 3/4.
    spans("seven-ring half letter", 7, "5 1/2 in");
    assert_eq!(
        pattern("seven-ring half letter").span(),
        pattern("half letter three-hole").span()
    );
    // Two groups of three at 3/4 in, 2 3/4 in (70 mm) or 2 in (51 mm) between them. READ; sums DER.
    spans("six-ring A5", 6, "5 3/4 in");
    spans("six-ring personal", 6, "5 in");
    // 21-70-21 mm, an encyclopaedia's article on ring binders. READ; sum DER.
    spans("Swedish four-hole", 4, "112 mm");
    for name in ["seven-ring letter", "six-ring A5", "Swedish four-hole"] {
        assert_eq!(pattern(name).pitch(), None, "{name}");
    }
    // Each is the same from both ends. DER.
    for pattern in tuckwright::supplies::patterns::PATTERNS {
        let mut turned: Vec<Length> = pattern
            .offsets
            .iter()
            .filter_map(|offset| pattern.span().checked_sub(*offset))
            .collect();
        turned.reverse();
        assert_eq!(turned, pattern.offsets, "{}", pattern.name);
    }
}

#[test]
fn rows_9_5_mm_apart() {
    // JIS Z 8303 by a catalogue and a glossary of print finishing: holes a sheet READ (A5: MEM);
    // what is left at each end, (sheet - (holes - 1) x 9.5 mm) / 2, DER.
    for (name, holes, sheet, end) in [
        ("A4 30-hole", 30, "297 mm", "10.75 mm"),
        ("B5 26-hole", 26, "257 mm", "9.75 mm"),
        ("B4 36-hole", 36, "364 mm", "15.75 mm"),
        ("A5 20-hole", 20, "210 mm", "14.75 mm"),
    ] {
        let row = pattern(name);
        assert_eq!(row.holes(), holes, "{name}");
        assert_eq!(row.pitch(), Some(length("9.5 mm")), "{name}");
        assert_eq!(row.diameter, Some(length("6 mm")), "{name}");
        assert_eq!(row.edge, Some(length("6.5 mm")), "{name}");
        let ends = length(end).checked_mul(2);
        assert_eq!(length(sheet).checked_sub(row.span()), ends, "{name}");
    }
}
