//! All codes of warnings, with what each says and what to do, in short: for the schema of `read --json` and for README.

/// A code of a warning, and what is said under it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code {
    /// As in [`Warning::code`](super::Warning::code).
    pub code: &'static str,
    /// What is wrong or to be known.
    pub says: &'static str,
    /// What to do.
    pub remedy: &'static str,
}

const fn code(code: &'static str, says: &'static str, remedy: &'static str) -> Code {
    Code { code, says, remedy }
}

/// All of them, the gravest first: what leaves no colour to tell; what may make every colour wrong; what makes colours less sure; what
/// concerns single patches or regions; what is only to be known. Own judgement.
pub const CODES: [Code; 54] = [
    code("overexposed", "too much of the photo or of the card is too bright to measure", "expose less"),
    code("no-card", "no card was found, or none that can be used", "see the next line; else photograph it larger"),
    code(
        "no-colour",
        "the picture is grey or toned: its patches differ in lightness alone",
        "use the camera's colour file",
    ),
    code("other-order", "patches of the card stand in each other's place: another card", "name the card that it is"),
    code(
        "other-hues",
        "hues are turned as no camera turns them: another card, or altered",
        "name the card; use the file as saved",
    ),
    code(
        "wrong-card",
        "what lies there fits the card badly, or not at all",
        "see to the corners, the card's name, its way round",
    ),
    code("other-grid", "a grid of patches that is no card known here", "name the card, or clear what lies on it"),
    code("several-cards", "more cards than one; which is used", "give the corners of another to use that"),
    code(
        "cards-in-unlike-light",
        "two cards in one photo make different colours of the same light",
        "light both alike",
    ),
    code("card-way-unclear", "the card looks the same the other way round", "give its corners"),
    code(
        "card-disturbed",
        "most patches agree with the card, some do not",
        "clear them; where nothing lies there, name the card",
    ),
    code("card-single-row", "a card of a single row is not looked for", "give its corners"),
    code("card-few-patches", "a card of so few patches is not looked for", "give its corners"),
    code("region-overexposed", "a region is too bright to measure: no colour", "leave reflections out, or expose less"),
    code("region-unknown", "nothing is known of a region's colour: none is told", "put the card beside it"),
    code("region-outside", "a region lies outside the photo, wholly or mostly: no colour", "draw it inside"),
    code("region-small", "a region has too few pixels: no colour", "draw it larger, or photograph closer"),
    code(
        "region-no-area",
        "the corners of a region lie on one line: no colour",
        "draw it round what is to be measured",
    ),
    code("region-crossed", "the sides of a region cross: no colour", "give its corners in order"),
    code("region-unusable", "a region has fewer than three corners: no colour", "draw it again"),
    code(
        "region-left-out",
        "what is left out of a region leaves too little, or its sides cross: no colour",
        "leave out less, or draw that again",
    ),
    code(
        "region-transparent",
        "pixels of a region are transparent: no colour",
        "draw it elsewhere; use the file as saved",
    ),
    code(
        "card-plain",
        "the card says little or nothing of how the camera sees colours",
        "lay a 24-patch chart beside the work",
    ),
    code("shade", "a shadow lies on part of the card", "move what throws it"),
    code(
        "light-uneven",
        "part of the card lies in other light; what it is cannot be told",
        "light card and work evenly",
    ),
    code("soft-glare", "a soft reflection lies on part of the card", "turn the card or move the lamp"),
    code(
        "poor-fit",
        "the patches agree less than in most photos: every colour is less sure",
        "light evenly, by one kind of lamp",
    ),
    code("mixed-light", "the light changes its colour across the card", "use one kind of lamp, shade the window"),
    code(
        "local-tone",
        "tone changes from place to place, as when shadows are brightened",
        "turn that off in the camera",
    ),
    code("dark", "the photo is dark", "expose more"),
    code(
        "compressed",
        "the photo is, or was, so heavily compressed that its blocks show or its colours are rounded",
        "use the file as saved",
    ),
    code("enlarged", "the photo was enlarged or saved at another size", "use the file as saved"),
    code("profile-unreadable", "the colour profile cannot be read: taken as sRGB", "use the file as saved"),
    code("transparent", "part of the photo is transparent: nothing is measured there", "use the file as saved"),
    code("light-falls-off", "the light falls off across the card", "have the lamp further away, or use a board photo"),
    code("blurred", "the card is blurred", "hold still, focus on the card"),
    code("card-small", "the card or its patches are small in the photo", "move closer"),
    code("clipped", "patches are too bright to measure", "expose a little less"),
    code("glare", "a reflection lies on patches", "turn the card or move the lamp"),
    code("card-cut-off", "part of the card is outside the photo, or transparent", "photograph the whole card"),
    code("patch-off", "patches in the fit are far off what the others say", "see that the card is clean there"),
    code("patch-hidden", "patches are left out of the fit: something seems to lie on them", "clear them"),
    code("tilted", "the card is tilted", "hold the camera square to it"),
    code(
        "region-clipped",
        "part of a region is too bright: its colour is less sure",
        "leave reflections out, or expose less",
    ),
    code("region-on-card", "a region lies over the card", "move it off, unless the card is to be checked"),
    code("region-far", "a region lies far from the card", "put the card beside it"),
    code("region-cut-off", "a region reaches outside the photo: measured inside", "draw it inside"),
    code("region-uneven", "the colour changes across a region: its mean is unsure", "measure lighter and darker apart"),
    code("region-few-grains", "a region shows hardly more than one grain", "draw it across several"),
    code("left-out-unused", "a place to leave out touches no region", "see to its corners"),
    code(
        "corners-turned",
        "the card fits at the corners given only in another order, and is read so",
        "begin at its first patch",
    ),
    code("mirrored", "the card is seen as in a mirror", "nothing: colours hold"),
    code("no-profile", "the photo has no colour profile: taken as sRGB", "use the file as saved, if this is a copy"),
    code("light-evened", "a board photo evened the light", "nothing"),
];
