//! What has an effect of its own.

use piece::{Bleach, Kind, Product, ProductId, Step};

use crate::look::Look;

/// What has an effect of its own: a product in one use, a bleach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Key {
    Bleach(Bleach),
    Dye(ProductId),
    Stain(ProductId),
    Glaze(ProductId),
    Toner(ProductId),
}

impl Key {
    /// The key of a colour step and its strength; None for a step that is not one.
    ///
    /// Stain reduced 1:n has 1/(1 + n) of its strength, times coats; dye counts in g/L, times coats.
    pub(crate) fn of(step: &Step) -> Option<(Self, f64)> {
        Some(match step {
            Step::Bleach { kind, times } => (Self::Bleach(*kind), f64::from(*times)),
            Step::Dye { product, grams_per_litre, coats } => (Self::Dye(*product), grams_per_litre * f64::from(*coats)),
            Step::Stain { product, reducer_parts, coats, .. } => {
                (Self::Stain(*product), f64::from(*coats) / (1.0 + reducer_parts.max(0.0)))
            }
            Step::Glaze { product, reducer_parts } => (Self::Glaze(*product), 1.0 / (1.0 + reducer_parts.max(0.0))),
            Step::Toner { product, passes } => (Self::Toner(*product), f64::from(*passes)),
            _ => return None,
        })
    }

    /// The look in which the step acts: glaze and toner go over the sealer.
    pub(crate) fn look(self) -> Look {
        if matches!(self, Self::Glaze(_) | Self::Toner(_)) { Look::Sealed } else { Look::Dry }
    }

    /// A name for its chance.
    pub(super) fn name(self) -> String {
        match self {
            Self::Bleach(kind) => format!("bleach {kind:?}"),
            Self::Dye(id) => format!("dye {id}"),
            Self::Stain(id) => format!("stain {id}"),
            Self::Glaze(id) => format!("glaze {id}"),
            Self::Toner(id) => format!("toner {id}"),
        }
    }

    /// The key under which a product acts when it is used as its kind says; None for a filler.
    pub(crate) fn of_product(product: &Product) -> Option<Self> {
        Some(match product.kind {
            Kind::WaterDye | Kind::AlcoholDye => Self::Dye(product.id),
            Kind::Pigment | Kind::Gel | Kind::DyeAndPigment => Self::Stain(product.id),
            Kind::Toner => Self::Toner(product.id),
            Kind::Glaze => Self::Glaze(product.id),
            Kind::Filler => return None,
        })
    }

    /// The same use of another product; None for a bleach.
    pub(crate) fn with_product(self, id: ProductId) -> Option<Self> {
        Some(match self {
            Self::Bleach(_) => return None,
            Self::Dye(_) => Self::Dye(id),
            Self::Stain(_) => Self::Stain(id),
            Self::Glaze(_) => Self::Glaze(id),
            Self::Toner(_) => Self::Toner(id),
        })
    }

    /// The product; None for a bleach.
    pub(crate) fn product(self) -> Option<ProductId> {
        match self {
            Self::Bleach(_) => None,
            Self::Dye(id) | Self::Stain(id) | Self::Glaze(id) | Self::Toner(id) => Some(id),
        }
    }
}

/// Names what was weighed out for a step: surfaces coloured with one mix share its error. Coats do not count: they come out
/// of one cup.
pub(crate) fn mix_of(step: &Step) -> String {
    match step {
        Step::Dye { grams_per_litre, .. } => format!("{grams_per_litre} g/L"),
        Step::Stain { reducer_parts, .. } | Step::Glaze { reducer_parts, .. } => format!("1:{reducer_parts}"),
        _ => "one can".to_owned(),
    }
}
