//! Every message that a catalogue holds, with its arguments: a function each, so that none can lack an argument, and one that nobody says
//! is found by the compiler.
//!
//! In: the arguments. Out: a [`crate::tongue::Saying`]. What several papers say of a piece stands in `record`, the rest by paper.

/// The functions of these messages, and under this name, for tests, every message by its name with the names of its arguments.
macro_rules! messages {
    ($all:ident; $($(#[$note:meta])* $name:ident($($arg:ident),*);)*) => {
        $(
            $(#[$note])*
            #[must_use]
            pub(crate) fn $name($($arg: impl Into<crate::tongue::Arg>),*) -> crate::tongue::Saying {
                crate::tongue::Saying::Message(stringify!($name), vec![$((stringify!($arg), $arg.into())),*])
            }
        )*

        #[cfg(test)]
        pub(in crate::tongue) const $all: &[(&str, &[&str])] =
            &[$((stringify!($name), &[$(stringify!($arg)),*])),*];
    };
}

mod papers;
mod record;
mod report;
mod shots;

pub(crate) use self::papers::*;
pub(crate) use self::record::*;
pub(crate) use self::report::*;
pub(crate) use self::shots::*;

/// Every message by its name, with the names of its arguments.
#[cfg(test)]
pub(super) fn messages() -> Vec<(&'static str, &'static [&'static str])> {
    [PAPERS, RECORD, REPORT, SHOTS].concat()
}
