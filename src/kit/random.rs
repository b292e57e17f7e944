//! Random bytes from the operating system, for keys, salts and nonces.

/// The system gave no random bytes.
#[derive(Debug, thiserror::Error)]
#[error("this machine gave no random numbers")]
pub struct RandomError(#[source] getrandom::Error);

/// Draws `N` random bytes, fit for keys.
///
/// # Errors
/// When the system has no source of random numbers.
pub fn draw<const N: usize>() -> Result<[u8; N], RandomError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(RandomError)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::draw;

    #[test]
    fn two_draws_differ() {
        let (a, b): ([u8; 32], [u8; 32]) = (draw().unwrap(), draw().unwrap());
        assert_ne!(a, b);
        assert_ne!(a, [0; 32]);
    }
}
