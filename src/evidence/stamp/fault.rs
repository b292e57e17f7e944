//! Why a time-stamp reply proves nothing.

/// Why a reply is refused, or a request is none.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StampFault {
    /// The request cannot be read, or has no nonce.
    #[error("the request is not a time-stamp request of ours")]
    Request,
    /// The request is not for the statement it lies beside.
    #[error("the request is for other bytes")]
    RequestOther,
    /// Longer than any reply is.
    #[error("the reply is too long to be one")]
    Long,
    /// Not what RFC 3161 calls a reply; the part that cannot be read.
    #[error("the reply is not a time-stamp reply: {0}")]
    Shape(&'static str),
    /// The authority did not stamp; in its own words.
    #[error("the authority did not stamp it: {0}")]
    Refused(String),
    /// Another statement was stamped.
    #[error("the reply is for other bytes")]
    OtherBytes,
    /// The statement is named by SHA-1 or worse.
    #[error("the reply names the bytes by a digest (`{0}`) that proves nothing")]
    WeakImprint(String),
    /// The nonce differs: an old reply, or somebody else's.
    #[error("the reply answers another request")]
    Nonce,
    /// The request asked for another policy.
    #[error("the reply follows another policy than the request asked for")]
    Policy,
    /// None or several.
    #[error("the reply does not have exactly one signer")]
    Signers,
    /// The certificate that signed is neither in the reply nor given.
    #[error("the certificate of who signed the reply is missing; ask the authority for it")]
    NoSigner,
    /// A signed attribute that must be there once is not.
    #[error("the reply's signature leaves out its {0}")]
    Attribute(&'static str),
    /// The signed digest is not that of the content.
    #[error("the reply was changed after it was signed")]
    Changed,
    /// The signed attributes name another certificate.
    #[error("the reply was signed for another certificate than the one that fits")]
    OtherCertificate,
    /// The signed name of the authority is not that of its certificate.
    #[error("the reply gives the authority another name than its certificate")]
    OtherName,
    /// The signature of the reply.
    #[error("the signature of the reply is wrong")]
    Signature,
    /// An algorithm, curve or key size that is not accepted.
    #[error("`{whose}` uses `{what}`, which this program cannot check or does not trust")]
    Algorithm {
        /// Name on the certificate, or `the reply`.
        whose: String,
        /// Object identifier or size.
        what: String,
    },
    /// Extended key usage missing, not critical, or with more in it.
    #[error("the authority's certificate is not for time-stamping only")]
    NotForStamping,
    /// The authority's key may not sign.
    #[error("the authority's certificate is not for signing")]
    NotForSigning,
    /// Before the first moment of validity.
    #[error("the certificate of `{0}` was not valid yet when the stamp was made")]
    NotYet(String),
    /// After the last one.
    #[error("the certificate of `{0}` was no longer valid when the stamp was made")]
    Expired(String),
    /// The signed signing time lies outside the validity of the certificate.
    #[error("the time of signing lies outside the validity of the authority's certificate")]
    SigningTime,
    /// A certificate that a certificate hangs on does not exist or is not trusted.
    #[error("no given root stands behind `{0}`")]
    NoRoot(String),
    /// The issuer's key did not sign the certificate.
    #[error("the certificate of `{0}` was not signed by who it says")]
    Link(String),
    /// No certification authority, by its basic constraints.
    #[error("`{0}` may not issue certificates")]
    NotIssuer(String),
    /// More intermediates below it than it allows.
    #[error("`{0}` may not have as many certificates below it")]
    PathLength(String),
    /// It may not issue certificates of authorities for time stamps.
    #[error("`{0}` may not issue certificates for time-stamping")]
    IssuerUsage(String),
    /// A critical extension that is not understood must make it fail (RFC 5280, section 4.2).
    #[error(
        "the certificate of `{whose}` sets a condition (`{what}`) that this program does not know"
    )]
    Condition {
        /// Name on the certificate.
        whose: String,
        /// Object identifier of the extension.
        what: String,
    },
    /// An extension cannot be read, or is there twice.
    #[error("the certificate of `{0}` cannot be read")]
    Certificate(String),
    /// Too many certificates to try.
    #[error("the reply brings too many certificates")]
    TooMany,
    /// A root or an extra certificate of the user's cannot be read.
    #[error("the given certificate is neither PEM nor DER")]
    Given,
}

impl StampFault {
    /// Whether all that was looked at is right but no given root stands behind it: with more certificates it may be good.
    #[must_use]
    pub fn is_of_unknown_authority(&self) -> bool {
        matches!(self, Self::NoRoot(_) | Self::NoSigner | Self::Link(_))
    }
}
