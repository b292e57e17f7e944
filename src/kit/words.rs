//! Types of a few words, such as the states of a piece.

/// A type of a few words: every one with its word, in the order in which they stand here, and read from it.
macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$says:meta])* $variant:ident = $word:literal),* $(,)? }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$says])* $variant),* }

        impl $name {
            /// Every one with its word.
            pub const ALL: &'static [(Self, &'static str)] = &[$((Self::$variant, $word)),*];

            /// Its word.
            #[must_use]
            pub fn word(self) -> &'static str {
                let found = Self::ALL.iter().find(|it| it.0 == self);
                found.map_or("", |it| it.1)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = String;

            fn from_str(text: &str) -> Result<Self, String> {
                let found = Self::ALL.iter().find(|it| it.1 == text.trim());
                found.map(|it| it.0).ok_or_else(|| {
                    let known: Vec<&str> = Self::ALL.iter().map(|it| it.1).collect();
                    format!("`{text}` is none of {}", known.join(", "))
                })
            }
        }
    };
}

pub(crate) use words;
