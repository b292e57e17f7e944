//! Rules on cases.
