//! Records of products and mixes.

use serde::{Deserialize, Serialize};

use super::words::{IdText, KindWord};
use crate::{Product, ProductId, Share};

#[derive(Serialize, Deserialize)]
pub(super) struct ProductRecord {
    id: IdText<ProductId>,
    name: String,
    kind: KindWord,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    reducer: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    coverage_m2_per_l: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    drying_hours: Option<f64>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    lot: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    mix: Vec<ShareRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    cautions: Vec<String>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

#[derive(Serialize, Deserialize)]
struct ShareRecord {
    product: IdText<ProductId>,
    volume_parts: f64,
}

impl From<ProductRecord> for Product {
    fn from(record: ProductRecord) -> Self {
        let share = |share: ShareRecord| Share { product: share.product.0, parts: share.volume_parts };
        Self {
            id: record.id.0,
            name: record.name,
            kind: record.kind.into(),
            reducer: record.reducer,
            coverage_m2_per_l: record.coverage_m2_per_l,
            drying_hours: record.drying_hours,
            lot: record.lot,
            mix: record.mix.into_iter().map(share).collect(),
            cautions: record.cautions,
            note: record.note,
        }
    }
}

impl From<&Product> for ProductRecord {
    fn from(product: &Product) -> Self {
        let share = |share: &Share| ShareRecord { product: IdText(share.product), volume_parts: share.parts };
        Self {
            id: IdText(product.id),
            name: product.name.clone(),
            kind: product.kind.into(),
            reducer: product.reducer.clone(),
            coverage_m2_per_l: product.coverage_m2_per_l,
            drying_hours: product.drying_hours,
            lot: product.lot.clone(),
            mix: product.mix.iter().map(share).collect(),
            cautions: product.cautions.clone(),
            note: product.note.clone(),
        }
    }
}
