//! The shop: whose report it is, and how it is reached.

use serde::Serialize;

use crate::report::DrawingInput;
use crate::report::images::album::as_data;

/// The shop as every paper prints it.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ShopView {
    /// Its name; empty when none is given.
    name: String,
    /// Its address, a line each.
    address: Vec<String>,
    /// Its telephone number; empty when none is given.
    phone: String,
    /// How else it is reached; empty when not given.
    contact: String,
    /// Its logo as data; empty when there is none.
    logo: String,
}

impl ShopView {
    /// Of what a paper is given.
    pub(in crate::report) fn of(scene: &DrawingInput) -> Self {
        let lines = scene.address.lines().map(str::trim);
        let lines = lines.filter(|it| !it.is_empty()).map(str::to_owned);
        Self {
            name: scene.trading_name.clone(),
            address: lines.collect(),
            phone: scene.phone.clone(),
            contact: scene.contact.clone(),
            logo: match scene.logo.is_empty() {
                true => String::new(),
                false => as_data(&scene.logo),
            },
        }
    }
}
