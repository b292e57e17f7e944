//! Offers.
