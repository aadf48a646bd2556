//! Whether a card that was laid and fitted may be used, and why not.

use super::fitted::Fitted;
use crate::Photo;
use crate::locate::OtherColours;
use crate::warning::{self, Warning};

/// A card whose patches fit worse than this on average, each left out in turn, is not the card (ΔE2000): all that nothing is seen
/// to lie on, and those that took part in the fit. Own judgement: of 45 photos of a 24-patch chart, some of them altered, the
/// worst has 8; with a third of such a chart covered it may be 11.
const NO_CARD_ABOVE_DE00: f64 = 16.0;
const NO_CARD_IN_FIT_ABOVE_DE00: f64 = 12.0;
/// Left-out ΔE2000 up to which a patch fits: own judgement.
const FITS_DE00: f64 = 8.0;

/// Whether a laid card may be used; where not, what there is to say beside that.
pub(super) fn refusal(fitted: &Fitted, photo: &Photo, by_hand: bool) -> Result<(), Option<Warning>> {
    let name = &fitted.laid.card.name;
    match fitted.other_colours() {
        Some(OtherColours::Hues) => return Err(Some(warning::other_hues(name))),
        Some(OtherColours::None) => return Err(Some(warning::no_colour(name))),
        None => {}
    }
    if by_hand {
        // without a fit of colours, those that took part are all there is to go by
        let (fitting, whole) = fitted.fitting(fitted.summary.map_or(f64::INFINITY, |_| FITS_DE00));
        if fitting * 2 < whole {
            return Err(Some(warning::corners_off(fitting, whole)));
        }
    }
    if fitted.error_de00() > NO_CARD_ABOVE_DE00 || fitted.error_in_fit_de00() > NO_CARD_IN_FIT_ABOVE_DE00 {
        return Err(None);
    }
    if fitted.is_another(photo) { Err(Some(warning::other_order(name))) } else { Ok(()) }
}
