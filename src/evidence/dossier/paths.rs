//! Paths inside a bag: which are safe, and how a manifest spells them (RFC 8493, sections 2.1.3 and 5).

/// Why a path is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PathFault {
    /// Nothing, a leading or trailing `/`, or `//`.
    #[error("a step of the path is empty")]
    Empty,
    /// `.` or `..`.
    #[error("a step of the path is `.` or `..`")]
    Dots,
    /// `C:...`.
    #[error("the path begins with a drive letter")]
    Drive,
    /// `~...`, which a shell may take for somebody's home.
    #[error("the path begins with `~`")]
    Home,
    /// A separator on some systems.
    #[error("the path holds a `\\`")]
    Backslash,
    /// NUL and its like, line ends aside.
    #[error("the path holds a control character")]
    Control,
    /// A `%` that spells none of the three characters that must be spelled so.
    #[error("a `%` in the path is not followed by `25`, `0A` or `0D`")]
    Percent,
}

/// Checks that a path stays inside the bag on every system.
///
/// # Errors
/// When it may not.
pub fn safe(path: &str) -> Result<(), PathFault> {
    if path.starts_with('~') {
        return Err(PathFault::Home);
    }
    if path.contains('\\') {
        return Err(PathFault::Backslash);
    }
    let head = path.as_bytes();
    if head.len() > 1 && head[1] == b':' && head[0].is_ascii_alphabetic() {
        return Err(PathFault::Drive);
    }
    if path
        .chars()
        .any(|c| c.is_control() && !['\n', '\r'].contains(&c))
    {
        return Err(PathFault::Control);
    }
    for step in path.split('/') {
        match step {
            "" => return Err(PathFault::Empty),
            "." | ".." => return Err(PathFault::Dots),
            _ => {}
        }
    }
    Ok(())
}

/// As a manifest spells it: LF, CR and `%` as `%0A`, `%0D`, `%25`, nothing else changed.
#[must_use]
pub fn spelled(path: &str) -> String {
    path.replace('%', "%25")
        .replace('\n', "%0A")
        .replace('\r', "%0D")
}

/// The path that a manifest spells so.
///
/// # Errors
/// When a `%` stands for anything but the three characters.
pub fn meant(spelled: &str) -> Result<String, PathFault> {
    let mut path = String::with_capacity(spelled.len());
    let mut rest = spelled;
    while let Some(at) = rest.find('%') {
        path.push_str(&rest[..at]);
        let code = rest.get(at + 1..at + 3).ok_or(PathFault::Percent)?;
        path.push(match code.to_ascii_uppercase().as_str() {
            "25" => '%',
            "0A" => '\n',
            "0D" => '\r',
            _ => return Err(PathFault::Percent),
        });
        rest = &rest[at + 3..];
    }
    path.push_str(rest);
    Ok(path)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::PathFault;
    use super::meant;
    use super::safe;
    use super::spelled;

    /// The unsafe paths of RFC 8493, section 5, and of the open conformance suite of the Library of Congress
    /// (cases on paths out of scope, by dots, from the root, from a home), in our own examples.
    #[test]
    fn paths_that_leave_the_bag_are_refused() {
        for (path, want) in [
            ("data/../../etc/hosts", PathFault::Dots),
            ("../data/a", PathFault::Dots),
            ("data/./a", PathFault::Dots),
            ("/etc/hosts", PathFault::Empty),
            ("data//a", PathFault::Empty),
            ("data/", PathFault::Empty),
            ("", PathFault::Empty),
            ("~/a", PathFault::Home),
            ("~ann/a", PathFault::Home),
            ("C:/a", PathFault::Drive),
            ("c:a", PathFault::Drive),
            ("data\\a", PathFault::Backslash),
            ("data/a\0b", PathFault::Control),
        ] {
            assert_eq!(safe(path), Err(want), "{path}");
        }
        for path in [
            "data/a",
            "data/~a",
            "data/..a",
            "data/a b/ü.jpg",
            "data/a:b",
            "data/a\nb",
        ] {
            assert_eq!(safe(path), Ok(()), "{path}");
        }
    }

    #[test]
    fn only_three_characters_are_spelled_otherwise() {
        assert_eq!(spelled("data/50%\r\n é.jpg"), "data/50%25%0D%0A é.jpg");
        assert_eq!(meant("data/%0d%0a%25"), Ok("data/\r\n%".to_owned()));
        for wrong in ["100%", "a%2", "a%20b", "a%é"] {
            assert_eq!(meant(wrong), Err(PathFault::Percent), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn any_path_reads_back(path in "(?s).{0,40}") {
            let line = spelled(&path);
            prop_assert!(!line.contains(['\n', '\r']));
            prop_assert_eq!(meant(&line), Ok(path));
        }
    }
}
