//! The mishaps themselves. The page's tests use them too.

/// A mishap: what its album says beside the supplies of this folder, and what has to stand in the first
/// eight lines, in this order.
pub struct Mishap {
    pub name: &'static str,
    pub album: &'static str,
    pub first: &'static [&'static str],
}

pub const MISHAPS: [Mishap; 44] = [
    // 5 1/2 in less 1/4 to the holes, 1/8 to their rim, 1/8 clear and 1/8 ease; 9 in less half the gusset.
    Mishap {
        name: "a mat from too small a pad is mended beside a card that is too large",
        album: "[[leaf]]\nname = \"page\"\nbag = \"oat bag\"\nfront_mat = \"small pad\"\n[[leaf.insert]]\nname = \"photo_mat\"\nplace = \"mouth\"\nsize = \"8 x 10 in\"\nphoto = { print = \"small print\" }\n",
        first: &[
            "from `oat plain`",
            "instead of `small pad`",
            "and cut photo mat",
            "4 7/8 x 7 1/2 in",
        ],
    },
    // Of two rings that are large enough the smaller one.
    Mishap {
        name: "the smallest ring that takes the stack comes first",
        album: "[template]\nring = \"stout ring\"\n[[ring]]\nname = \"middle ring\"\ninside = \"1 1/2 in\"\nwire = \"1/8 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 8\nfront_mat = \"oat plain\"\nback_mat = \"oat plain\"\n",
        first: &["use ring `middle ring`"],
    },
    // Three holes at 1/2, 1 and 1 1/2 in, and 1/2 in beyond the last; the width is a second trouble.
    Mishap {
        name: "a bag too small both ways is one thing to buy",
        album: "[[bag]]\nname = \"tag bag\"\nsize = \"1 x 1 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"leaf\"\nbag = \"tag bag\"\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\nphoto = true\n",
        first: &[
            "oat bag",
            "take a bag at least",
            "wide",
            "2 in high",
            "mends all of it",
        ],
    },
    // The same of a bag that no hole goes into.
    Mishap {
        name: "a bag smaller than a hole's rim is one thing to buy",
        album: "[[bag]]\nname = \"pill bag\"\nsize = \"1/4 x 1/4 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"leaf\"\nbag = \"pill bag\"\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\nphoto = true\n",
        first: &["oat bag", "mends all of it"],
    },
    // From the first hole to the seventh 5 1/2 in, and 1/2 in at each end: 6 1/2.
    Mishap {
        name: "a pattern too long for every kind of leaf stands in one list",
        album: "[template]\npattern = \"seven-ring half letter\"\n[[bag]]\nname = \"short bag\"\nsize = \"6 x 5 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"shore\"\nbag = \"short bag\"\n[[leaf]]\nname = \"dune\"\nbag = \"short bag\"\n",
        first: &["leave the pattern", "6 1/2 in high", "mends all of it"],
    },
    // 7 in of folded bag, a card of 8: 1 in stands out.
    Mishap {
        name: "a card too high for a folded bag may stand out",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"fold bag\"\n[[leaf.insert]]\nname = \"recipe\"\nplace = \"mouth\"\ncard = \"recipe card\"\n",
        first: &["show 1 in", "7 in"],
    },
    // Half of 5 in belongs inside; the pocket is 2 1/4 deep.
    Mishap {
        name: "a card that falls out of its pocket goes into the mouth",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n[[leaf.insert]]\nname = \"index\"\nplace = \"pocket\"\ncard = \"index card\"\n",
        first: &["into the front slot", "4 1/2 in"],
    },
    // ISO 838 wants 12 mm; pliers reach 5/16 in.
    Mishap {
        name: "pliers do not reach the holes",
        album: "[template]\npattern = \"ISO 838\"\npunch = \"pliers\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n",
        first: &["desk punch"],
    },
    Mishap {
        name: "one leaf too many for the ring",
        album: "[template]\nring = \"wide ring\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 14\nfront_mat = \"oat plain\"\nback_mat = \"oat plain\"\n",
        first: &["1 leaf out", "2 1/8 in"],
    },
    // 20 of 0.03 in are 0.6 in; a pocket holds 1/2 in, which are 16.
    Mishap {
        name: "a pile too thick for its pocket",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n[[leaf.insert]]\nname = \"swatches\"\nplace = \"pocket\"\nsize = \"3 x 4 in\"\ncount = 20\ncaliper = \"0.03 in\"\n",
        first: &["16 of swatches", "4 fewer"],
    },
    // Wire of 1/4 in through a hole of 1/8.
    Mishap {
        name: "wire too thick for the holes",
        album: "[template]\nring = \"stout ring\"\ndiameter = \"1/8 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n",
        first: &["thin ring"],
    },
    // 5 in less 3/16: a card of 4 1/4 jams in the narrowest of the pack.
    Mishap {
        name: "a pack that varies",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"uneven bag\"\n[[leaf.insert]]\nname = \"greeting\"\nplace = \"mouth\"\nsize = \"4 1/4 x 6 in\"\n",
        first: &["4 1/8 in", "pick out", "4 15/16 in"],
    },
    Mishap {
        name: "a mat that its pad does not give",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\nfront_mat = \"small pad\"\n",
        first: &[
            "oat plain",
            "sheets of at least 4 x 6 7/8 in",
            "4 x 4 in",
            "front mat out",
        ],
    },
    Mishap {
        name: "a photo larger than its print",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\ngiven = { \"scene.photo.width\" = \"5 in\", \"scene.photo.height\" = \"7 in\" }\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\nphoto = { print = \"small print\" }\n",
        first: &["large print"],
    },
    // 9 in down to the seam are 8 1/2: a card 4 in high is lost; a tab reaches it.
    Mishap {
        name: "a card lost in a deep mouth",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n[[leaf.insert]]\nname = \"verse\"\nplace = \"mouth\"\nsection = \"back\"\nsize = \"4 x 4 in\"\ngrip = \"notch\"\n",
        first: &["what to watch", "verse", "pull tab"],
    },
    // An eyelet of 1/2 in reaches 1/4 in beyond its centre: nothing is left of an edge of 1/4 in.
    Mishap {
        name: "an eyelet over the spine edge",
        album: "[template]\nedge = \"1/4 in\"\neyelet = \"1/2 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n",
        first: &["3/8 in"],
    },
    Mishap {
        name: "a wide card goes in turned",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n[[leaf.insert]]\nname = \"route\"\nplace = \"mouth\"\nsize = \"7 x 5 in\"\n",
        first: &["route on its side", "5 x 7 in"],
    },
    // Two troubles: each has a line of its own.
    Mishap {
        name: "a card too wide, and too many leaves",
        album: "[template]\nring = \"wide ring\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 14\nfront_mat = \"oat plain\"\nback_mat = \"oat plain\"\n[[leaf.insert]]\nname = \"route\"\nplace = \"mouth\"\nsize = \"5 x 7 in\"\n",
        first: &["cut route", "and take", "leaf"],
    },
    Mishap {
        name: "a ring too small, and a larger one at hand",
        album: "[template]\nring = \"thin ring\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 12\nfront_mat = \"oat plain\"\nback_mat = \"oat plain\"\n",
        first: &["ring `wide ring`"],
    },
    // 40 of 0.03 in are 1.2 in; a mouth holds 1/2 in, which are 16.
    Mishap {
        name: "a pile too thick for a mouth",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n[[leaf.insert]]\nname = \"swatches\"\nplace = \"mouth\"\nsize = \"4 x 6 in\"\ncount = 40\ncaliper = \"0.03 in\"\n",
        first: &["24 fewer", "16"],
    },
    // 5 and 5 in on a back 8 in high.
    Mishap {
        name: "two cards glued on one back",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n[[leaf.insert]]\nname = \"verse\"\nplace = \"back\"\nsize = \"4 x 5 in\"\n[[leaf.insert]]\nname = \"route\"\nplace = \"back\"\nsize = \"4 x 5 in\"\n",
        first: &["into the mouth"],
    },
    // A hole of 1/2 in keeps as much paper beside it as it is wide from its middle.
    Mishap {
        name: "a hole too large for its edge",
        album: "[template]\ndiameter = \"1/2 in\"\nedge = \"1/4 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n",
        first: &["further", "1/2 in"],
    },
    // 1/16 in of bag beside it on both sides.
    Mishap {
        name: "a mat cut as wide as its bag",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\ngiven = { \"front_mat.width\" = \"6 in\" }\n",
        first: &["front mat", "5 7/8 in"],
    },
    // Four holes at 2 3/4 in span 8 1/4, the leaf is 8 in high.
    Mishap {
        name: "four holes where three have room",
        album: "[template]\nholes = 4\npitch = \"2 3/4 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n",
        first: &["spacing", "3 holes instead of 4"],
    },
    Mishap {
        name: "a title wider than the back",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n[[leaf.insert]]\nname = \"title\"\nplace = \"back\"\nsize = \"6 x 3 in\"\n",
        first: &["title on its side", "3 x 6 in"],
    },
    // 11/7 of 0.012 in for each bag inside another: six of them are 0.113 in, seven 0.132; 1/8 is the most.
    Mishap {
        name: "a signature of too many bags",
        album: "style = \"signature\"\n[[bag]]\nname = \"bread bag\"\nsize = \"6 x 9 in\"\nbottom = \"pinch\"\ncaliper = \"0.004 in\"\n[[leaf]]\nname = \"page\"\nbag = \"bread bag\"\ncount = 14\npage_mat = \"none\"\n",
        first: &["7 leaves out", "7 go on"],
    },
    // Twelve of 1/2 in, eleven gaps of 1/16 in and twice 1/4 in are 7 3/16 in; thirteen are 7 3/4.
    Mishap {
        name: "more tabs than the edge has room for",
        album: "[[bag]]\nname = \"low bag\"\nsize = \"5 x 7 1/2 in\"\ngusset = \"3 in\"\nsqueezed = \"0.05 in\"\n[[leaf]]\nname = \"letter\"\nbag = \"low bag\"\ncount = 14\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"none\"\nindex_tab = \"oat plain\"\n",
        first: &["2 leaves out", "12 go on"],
    },
    // 9 in of leaf less 3 1/2 in of folded bottom and twice 1/16 in; it is not cut yet.
    Mishap {
        name: "a panel drawn over the folded bottom",
        album: "style = \"foreedge\"\n[[bag]]\nname = \"lunch bag\"\nsize = \"6 x 9 in\"\ngusset = \"3 1/2 in\"\n[[leaf]]\nname = \"page\"\nbag = \"lunch bag\"\ngiven = { \"panel.width\" = \"8 7/8 in\" }\n",
        first: &["5 3/8 in wide", "take a bag"],
    },
    // Twice 6 in and 1/2 in of lap.
    Mishap {
        name: "a band round the album longer than its paper",
        album: "papers = { belly = \"oat plain\" }\n[[leaf]]\nname = \"page\"\nbag = \"flat bag\"\n[[paper]]\nname = \"brown roll\"\nsize = \"12 x 24 in\"\n",
        first: &["belly from `brown roll`"],
    },
    // 5/64 in of board does not turn in round an edge.
    Mishap {
        name: "a wrap that comes out of no sheet, and board at hand",
        album: "style = \"boards\"\npapers = { wrap = \"oat plain\" }\n[[bag]]\nname = \"tall bag\"\nsize = \"7 x 11 in\"\nbottom = \"pinch\"\n[[leaf]]\nname = \"page\"\nbag = \"tall bag\"\nfront_mat = \"none\"\nback_mat = \"none\"\n[[paper]]\nname = \"grey board\"\nsize = \"20 x 30 in\"\ncaliper = \"5/64 in\"\n[[paper]]\nname = \"book cloth\"\nsize = \"18 x 24 in\"\ncaliper = \"0.012 in\"\n",
        first: &["wrap from `book cloth`"],
    },
    // A hole of 1/4 in, 3 in up, where the pocket's edge is: 1/8 to the rim and 1/8 of paper.
    Mishap {
        name: "a hole on the pocket's edge",
        album: "[template]\nholes = 3\nfirst = \"3 in\"\npitch = \"2 in\"\n[[bag]]\nname = \"lunch bag\"\nsize = \"5 1/4 x 8 1/2 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"page\"\nbag = \"lunch bag\"\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"none\"\n",
        first: &["pocket's edge", "1/4 in higher", "3 1/4 in"],
    },
    // 8 1/2 in of leaf, 1/16 of bag at the head, a pocket 3 in high, 3/8 in under its edge: 5 13/16.
    Mishap {
        name: "a mat cut too short is cut anew",
        album: "[[bag]]\nname = \"lunch bag\"\nsize = \"5 1/4 x 8 1/2 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"page\"\nbag = \"lunch bag\"\nfront_mat = \"oat plain\"\npocket_mat = \"none\"\nback_mat = \"none\"\nmeasured = { \"front_mat.height\" = \"5 1/4 in\" }\n",
        first: &["front mat anew", "5 7/8 in"],
    },
    // 7 x 5 in on a leaf of 5 1/2 x 9 in: turned, 5 in and 7 in leave a border.
    Mishap {
        name: "mats cut the other way round",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"oat plain\"\nmeasured = { \"back_mat.width\" = \"7 in\", \"back_mat.height\" = \"5 in\" }\n",
        first: &["turn back mat on its side", "5 x 7 in"],
    },
    // Twice 1 in, and of seven bags twice 3/4 in and 1/16 in each: 12 15/16 in.
    Mishap {
        name: "a strip cut too short",
        album: "style = \"concertina\"\nmeasured = { \"strip.width\" = \"12 in\" }\n[[leaf]]\nname = \"stop\"\nbag = \"flat bag\"\ncount = 7\nfront_mat = \"none\"\nback_mat = \"none\"\n",
        first: &["strip", "13 in long"],
    },
    // A whole class as one album: the ring takes 13, as with one leaf too many; 200 are 16 albums.
    Mishap {
        name: "far too many leaves for the ring",
        album: "[template]\nring = \"wide ring\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 200\nfront_mat = \"oat plain\"\nback_mat = \"oat plain\"\n",
        first: &["187 leaves out: 13 go on", "16 albums", "mends all of it"],
    },
    // 16 of 0.03 in are 1/2 in, as many as with four too many.
    Mishap {
        name: "far too many things in a pile",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n[[leaf.insert]]\nname = \"swatches\"\nplace = \"pocket\"\nsize = \"3 x 4 in\"\ncount = 500\ncaliper = \"0.03 in\"\n",
        first: &["16 of swatches", "484 fewer", "mends all of it"],
    },
    // Children cut 1/16 in off: borders of twice that do not vanish. How far off is no wish.
    Mishap {
        name: "cut with scissors",
        album: "[set]\ncutting_error = \"1/16 in\"\n[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\n",
        first: &[
            "side_reveal",
            "1/8 in",
            "head_reveal",
            "1/8 in",
            "pocket_reveal",
            "1/8 in",
        ],
    },
    // 12 mm + 3 mm + 3 mm, 148 mm of card and 0.6 mm are 166.6 mm; what stands out keeps the flap open.
    Mishap {
        name: "holes too deep in an envelope",
        album: "style = \"envelope\"\n[template]\nholes = 2\ndiameter = \"6 mm\"\nedge = \"12 mm\"\n[[bag]]\nname = \"C6\"\nsize = \"114 x 162 mm\"\nbottom = \"pinch\"\ncaliper = \"0.1 mm\"\n[[leaf]]\nname = \"letter\"\nbag = \"C6\"\nface = \"none\"\nliner = \"none\"\n[[leaf.insert]]\nname = \"reply\"\nplace = \"inside\"\nsize = \"148 x 105 mm\"\ncaliper = \"0.3 mm\"\n",
        first: &["it does not fit. cut reply down"],
    },
    // Fourteen gaps of 1/2 in, and 1/2 in at each end, are the 8 in of the bag; what clashes is one thing.
    Mishap {
        name: "far too many holes",
        album: "[template]\nholes = 60\n[[leaf]]\nname = \"leaf\"\nbag = \"flat bag\"\n",
        first: &["15 holes instead of 60", "what clashes"],
    },
    // 3:2 fills 2:3 as high as it is: 4/9 of its width are seen. Of 5:6 just 4/5 are, which is no more lost than 20 %.
    Mishap {
        name: "a landscape photo in an upright place",
        album: "[[leaf]]\nname = \"leaf\"\nbag = \"oat bag\"\ncount = 2\n[[leaf.insert]]\nname = \"scene\"\nplace = \"mouth\"\ngrip = \"tab\"\nphoto = { print = \"small print\" }\n[photos]\n[[photos.photo]]\nname = \"bench\"\nsize = \"3:2\"\n[[photos.photo]]\nname = \"gate\"\nsize = \"5:6\"\n",
        first: &[
            "what to watch",
            "a photo loses more than 20 %",
            "bench 55.6 %. let photos lie on their side",
            "none loses more",
        ],
    },
    // 1/4 in + 1/8 + 1/8 + 4 1/2 + 1/8 are 5 1/8 in, 130.175 mm. A bag is bought, not cut by the ruler.
    Mishap {
        name: "a bag in millimetres that is a hair too narrow",
        album: "[[bag]]\nname = \"foreign bag\"\nsize = \"130 x 240 mm\"\ngusset = \"80 mm\"\n[[leaf]]\nname = \"page\"\nbag = \"foreign bag\"\nfront_mat = \"none\"\npocket_mat = \"none\"\nback_mat = \"none\"\n[[leaf.insert]]\nname = \"recipe\"\nplace = \"mouth\"\nsize = \"4 1/2 x 7 1/2 in\"\ngrip = \"notch\"\n",
        first: &["recipe down by 1/8 in", "at least 130.2 mm wide"],
    },
    // 1/4 in of wire and 1/32 in of play in holes of 1/4 in, which nobody typed: the next on the ruler is 3/8 in.
    Mishap {
        name: "a ring of thick wire in holes that are only assumed",
        album: "[template]\nring = \"stout ring\"\n[[leaf]]\nname = \"page\"\nbag = \"oat bag\"\n",
        first: &["does not fit", "diameter of a hole 1/8 in larger", "3/8 in"],
    },
    // 1/16 + 5 3/8 + 2 1/2 in are 7 15/16 in of 8 in and 3/8 in: 7/16 in too little, so 5 13/16 in. Paper is cut
    // sooner than a pocket is glued again.
    Mishap {
        name: "a pocket that was glued too low",
        album: "[[bag]]\nname = \"lunch bag\"\nsize = \"5 1/4 x 8 in\"\ngusset = \"3 in\"\n[[leaf]]\nname = \"page\"\nbag = \"lunch bag\"\nfront_mat = \"oat plain\"\npocket_mat = \"none\"\nback_mat = \"none\"\nmeasured = { \"pocket.edge\" = \"2 1/2 in\", \"pocket.depth\" = \"2 1/4 in\", \"front_mat.height\" = \"5 3/8 in\" }\n",
        first: &["it does not fit. cut front mat anew, 5 7/8 in high"],
    },
    // Two walls of 0.005 in count 1 1/2 times: 22 times 0.015 in are 0.33 in; 65 % of 3/4 in are 0.4875 in. A liner
    // begins past the holes: none of it is on the ring.
    Mishap {
        name: "envelopes with liners on a ring",
        album: "style = \"envelope\"\n[template]\nholes = 2\nring = \"small ring\"\n[[ring]]\nname = \"small ring\"\ninside = \"3/4 in\"\nwire = \"3/32 in\"\n[[paper]]\nname = \"leaf print\"\nsize = \"12 x 12 in\"\ncaliper = \"0.012 in\"\n[[bag]]\nname = \"card envelope\"\nsize = \"7 1/4 x 5 1/4 in\"\nbottom = \"pinch\"\ncaliper = \"0.005 in\"\n[[leaf]]\nname = \"letter\"\nbag = \"card envelope\"\ncount = 22\nface = \"leaf print\"\nliner = \"leaf print\"\n",
        first: &["it fits"],
    },
];
