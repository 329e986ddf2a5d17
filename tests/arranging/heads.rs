//! Heads of pictures, made byte by byte: every kind, every turn, and what is broken.

use std::io::Cursor;
use tuckwright::arrange::HeadError;
use tuckwright::arrange::head::{Head, read};

fn be16(n: u16) -> [u8; 2] {
    n.to_be_bytes()
}

/// EXIF of one turn and one date, if any: a directory of two entries, then one of its own.
pub fn exif(turn: Option<u16>, date: &str) -> Vec<u8> {
    let mut bytes = b"MM\0\x2a\0\0\0\x08".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        [&be16(tag)[..], &be16(kind), &count.to_be_bytes(), &value].concat()
    };
    let two = be16(1 + u16::from(turn.is_some()));
    bytes.extend(two);
    if let Some(turn) = turn {
        let [a, b] = be16(turn);
        bytes.extend(entry(0x0112, 3, 1, [a, b, 0, 0]));
    }
    let own = bytes.len() as u32 + 12 + 4;
    bytes.extend(entry(0x8769, 4, 1, own.to_be_bytes()));
    bytes.extend([0; 4]);
    bytes.extend(be16(1));
    let text = bytes.len() as u32 + 12 + 4;
    bytes.extend(entry(0x9003, 2, date.len() as u32 + 1, text.to_be_bytes()));
    bytes.extend([0; 4]);
    bytes.extend(date.bytes());
    bytes.push(0);
    bytes
}

/// A JPEG up to its size, which gives the height first.
pub fn jpeg(sides: (u16, u16), exif: &[u8]) -> Vec<u8> {
    let mut bytes = b"\xff\xd8".to_vec();
    if !exif.is_empty() {
        bytes.extend([0xff, 0xe1]);
        bytes.extend(be16(exif.len() as u16 + 8));
        bytes.extend(b"Exif\0\0");
        bytes.extend(exif);
    }
    bytes.extend([0xff, 0xc0]);
    bytes.extend(be16(17));
    bytes.push(8);
    bytes.extend(be16(sides.1));
    bytes.extend(be16(sides.0));
    bytes.extend([3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1, 0xff, 0xd9]);
    bytes
}

pub fn png(sides: (u32, u32), exif: &[u8]) -> Vec<u8> {
    let chunk = |kind: &[u8], body: &[u8]| {
        [&(body.len() as u32).to_be_bytes()[..], kind, body, &[0; 4]].concat()
    };
    let size = [sides.0.to_be_bytes(), sides.1.to_be_bytes()].concat();
    let head = [&size[..], &[8, 2, 0, 0, 0]].concat();
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    bytes.extend(chunk(b"IHDR", &head));
    if !exif.is_empty() {
        bytes.extend(chunk(b"eXIf", exif));
    }
    bytes.extend(chunk(b"IEND", &[]));
    bytes
}

fn riff(chunks: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut body = b"WEBP".to_vec();
    for (kind, bytes) in chunks {
        body.extend(*kind);
        body.extend((bytes.len() as u32).to_le_bytes());
        body.extend(bytes);
        body.extend(vec![0; bytes.len() % 2]);
    }
    [b"RIFF", &(body.len() as u32).to_le_bytes()[..], &body].concat()
}

/// The three kinds of WebP: with extras, with loss and without.
pub fn webps(sides: (u32, u32), exif: &[u8]) -> [Vec<u8>; 3] {
    let less = |n: u32| (n - 1).to_le_bytes()[..3].to_vec();
    let extra = [vec![8, 0, 0, 0], less(sides.0), less(sides.1)].concat();
    // The two bits above a side of VP8 say how it may be enlarged.
    let side = |n: u32| (n as u16 | 0x4000).to_le_bytes();
    let lossy = [
        &[0, 0, 0, 0x9d, 0x01, 0x2a][..],
        &side(sides.0),
        &side(sides.1),
    ]
    .concat();
    let bits = (sides.0 - 1) | (sides.1 - 1) << 14;
    let lossless = [&[0x2f][..], &bits.to_le_bytes()].concat();
    [
        riff(&[(b"VP8X", extra), (b"EXIF", exif.to_vec())]),
        riff(&[(b"VP8 ", lossy)]),
        riff(&[(b"VP8L", lossless)]),
    ]
}

fn boxed(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
    [&(body.len() as u32 + 8).to_be_bytes()[..], kind, body].concat()
}

/// A HEIC whose first item is a small thumbnail of another shape, turned; the second is the picture.
pub fn heic(sides: (u32, u32), turns: Option<u8>, clip: Option<(u32, u32)>) -> Vec<u8> {
    let size = |(across, up): (u32, u32)| {
        boxed(
            b"ispe",
            &[&[0; 4][..], &across.to_be_bytes(), &up.to_be_bytes()].concat(),
        )
    };
    let mut properties = vec![size((9_000, 9_000)), boxed(b"irot", &[1]), size(sides)];
    let mut own = vec![3];
    if let Some((across, up)) = clip {
        let one = 1u32.to_be_bytes();
        let zero = 0u32.to_be_bytes();
        let clip = [
            across.to_be_bytes(),
            one,
            up.to_be_bytes(),
            one,
            zero,
            one,
            zero,
            one,
        ];
        properties.push(boxed(b"clap", &clip.concat()));
        own.push(properties.len() as u8);
    }
    if let Some(turns) = turns {
        properties.push(boxed(b"irot", &[turns]));
        // What a reader must know has its first bit set.
        own.push(properties.len() as u8 | 0x80);
    }
    let ipco = boxed(b"ipco", &properties.concat());
    let item = |item: u16, own: &[u8]| [&be16(item)[..], &[own.len() as u8], own].concat();
    let list = [item(1, &[1, 2]), item(2, &own)].concat();
    let ipma = boxed(b"ipma", &[&[0; 4][..], &2u32.to_be_bytes(), &list].concat());
    let pitm = boxed(b"pitm", &[0, 0, 0, 0, 0, 2]);
    let iprp = boxed(b"iprp", &[ipco, ipma].concat());
    let meta = boxed(b"meta", &[&[0; 4][..], &pitm, &iprp].concat());
    let ftyp = boxed(b"ftyp", b"heic\0\0\0\0mif1heic");
    [ftyp, boxed(b"free", &[0; 40]), meta].concat()
}

fn of(bytes: &[u8]) -> Result<Head, HeadError> {
    read(&mut Cursor::new(bytes))
}

fn sides(bytes: &[u8]) -> (i64, i64) {
    of(bytes).expect("a size").sides
}

#[test]
fn each_of_eight_turns_counts_once() {
    for turn in 1..=8 {
        let exif = exif(Some(turn), "2024:07:01 09:30:00");
        let turned = if turn > 4 { (300, 400) } else { (400, 300) };
        let [extra, lossy, lossless] = webps((400, 300), &exif);
        for bytes in [jpeg((400, 300), &exif), png((400, 300), &exif), extra] {
            let head = of(&bytes).expect("a size");
            assert_eq!((head.sides, head.odd_turn), (turned, None), "{turn}");
            assert_eq!(head.date.as_deref(), Some("2024:07:01 09:30:00"));
        }
        assert_eq!((sides(&lossy), sides(&lossless)), ((400, 300), (400, 300)));
    }
}

#[test]
fn what_is_no_turn_is_upright_and_no_date_is_none() {
    for turn in [0, 9] {
        let head = of(&jpeg((400, 300), &exif(Some(turn), "0000:00:00 00:00:00")));
        let head = head.expect("a size");
        assert_eq!(
            (head.sides, head.odd_turn, head.date),
            ((400, 300), Some(turn.into()), None)
        );
    }
    for date in ["    :  :     :  :  ", "2024:07:01", "yesterday"] {
        assert_eq!(
            of(&jpeg((4, 3), &exif(None, date))).expect("a size").date,
            None
        );
    }
    // Bits that are no EXIF leave the size as it is.
    assert_eq!(sides(&jpeg((400, 300), b"nothing like it")), (400, 300));
}

#[test]
fn a_heic_has_the_size_of_its_own_picture() {
    assert_eq!(sides(&heic((400, 300), None, None)), (400, 300));
    for turns in 0..4 {
        let turned = if turns % 2 == 1 {
            (300, 400)
        } else {
            (400, 300)
        };
        assert_eq!(
            sides(&heic((400, 300), Some(turns), None)),
            turned,
            "{turns}"
        );
    }
    assert_eq!(
        sides(&heic((400, 300), Some(1), Some((360, 240)))),
        (240, 360)
    );
}

#[test]
fn what_is_broken_has_a_reason() {
    assert_eq!(of(b""), Err(HeadError::NoPicture));
    assert_eq!(of(b"name,width,height\n"), Err(HeadError::NoPicture));
    assert_eq!(
        of(b"GIF89a\x01\x00\x01\x00 and more"),
        Err(HeadError::NoPicture)
    );
    assert_eq!(of(&png((0, 300), &[])), Err(HeadError::Pixels(0, 300)));
    assert_eq!(of(&jpeg((400, 0), &[])), Err(HeadError::Pixels(400, 0)));
    let clip = Some((0, 5));
    assert_eq!(of(&heic((4, 3), None, clip)), Err(HeadError::Pixels(0, 5)));
}

/// No head that is cut short or changed in one byte stops the program, or has a side of nothing.
#[test]
fn every_broken_head_is_answered() {
    let exif = exif(Some(6), "2024:07:01 09:30:00");
    let mut whole = vec![jpeg((400, 300), &exif), png((400, 300), &exif)];
    whole.extend(webps((400, 300), &exif));
    whole.push(heic((400, 300), Some(1), Some((360, 240))));
    let sound = |bytes: &[u8]| {
        if let Ok(head) = of(bytes) {
            assert!(head.sides.0 > 0 && head.sides.1 > 0, "{bytes:?}");
        }
    };
    for bytes in whole {
        for end in 0..bytes.len() {
            sound(&bytes[..end]);
        }
        for at in 0..bytes.len() {
            for value in [0, 1, 0x7f, 0x80, 0xff] {
                let mut other = bytes.clone();
                other[at] = value;
                sound(&other);
            }
        }
    }
}
