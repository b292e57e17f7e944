//! The words of the trade book that the settings may name.

/// The words of the trade book that the settings may name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TradeWords {
    /// Methods, such as `veneer_patch`.
    pub methods: Vec<String>,
    /// Channels by which pieces are sold, such as `own_sale`.
    pub channels: Vec<String>,
}
