//! The parts of a time-stamp request and reply in ASN.1 (RFC 3161, RFC 5652), as far as they are needed here.
//!
//! Signatures and digests are over the bytes that were sent. So whatever is digested or signed is held as it came, and never
//! written again from what was understood of it.

use der::Any;
use der::Choice;
use der::Enumerated;
use der::Sequence;
use der::asn1::BitString;
use der::asn1::Int;
use der::asn1::OctetString;
use der::asn1::SetOfVec;
use der::oid::ObjectIdentifier;
use x509_cert::ext::Extensions;
use x509_cert::ext::pkix::SubjectKeyIdentifier;
use x509_cert::ext::pkix::name::GeneralName;
use x509_cert::name::Name;
use x509_cert::serial_number::SerialNumber;
use x509_cert::spki::AlgorithmIdentifierOwned;

/// The one version of requests and of statements.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Enumerated)]
#[asn1(type = "INTEGER")]
#[repr(u8)]
pub(crate) enum TspVersion {
    /// Version 1.
    V1 = 1,
}

/// MessageImprint: the digest of what is stamped.
#[derive(Sequence)]
pub(crate) struct Imprint {
    /// By which algorithm.
    pub(crate) hash_algorithm: AlgorithmIdentifierOwned,
    /// The digest.
    pub(crate) hashed_message: OctetString,
}

/// TimeStampReq (RFC 3161, section 2.4.1).
#[derive(Sequence)]
pub(crate) struct TimeStampReq {
    /// Version 1.
    pub(crate) version: TspVersion,
    /// What is to be stamped.
    pub(crate) imprint: Imprint,
    /// Under which policy.
    #[asn1(optional = "true")]
    pub(crate) policy: Option<ObjectIdentifier>,
    /// A random number that the reply must repeat.
    #[asn1(optional = "true")]
    pub(crate) nonce: Option<Int>,
    /// Whether the reply is to bring the authority's certificate.
    #[asn1(default = "Default::default")]
    pub(crate) wants_certificate: bool,
    /// More.
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) extensions: Option<Extensions>,
}

/// TimeStampResp (RFC 3161, section 2.4.2).
#[derive(Sequence)]
pub(crate) struct Reply {
    /// Whether it was stamped.
    pub(crate) status: Status,
    /// The stamp.
    #[asn1(optional = "true")]
    pub(crate) token: Option<ContentInfo>,
}

/// PKIStatusInfo.
#[derive(Sequence)]
pub(crate) struct Status {
    /// 0 and 1 mean granted.
    pub(crate) status: u32,
    /// Why not, in the authority's words.
    #[asn1(optional = "true")]
    pub(crate) text: Option<Vec<String>>,
    /// Why not, PKIFailureInfo.
    #[asn1(optional = "true")]
    pub(crate) failure: Option<BitString>,
}

/// ContentInfo (RFC 5652, section 3).
#[derive(Sequence)]
pub(crate) struct ContentInfo {
    /// What the content is.
    pub(crate) content_type: ObjectIdentifier,
    /// The content.
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    pub(crate) content: Any,
}

/// SignedData (RFC 5652, section 5.1) with its certificates and signers as they came.
#[derive(Sequence)]
pub(crate) struct SignedData {
    /// 3 for a stamp.
    pub(crate) version: u8,
    digests: Any,
    /// What is signed.
    pub(crate) content: SignedContent,
    /// Certificates.
    #[asn1(
        context_specific = "0",
        tag_mode = "IMPLICIT",
        constructed = "true",
        optional = "true"
    )]
    pub(crate) certificates: Option<Vec<Any>>,
    #[asn1(
        context_specific = "1",
        tag_mode = "IMPLICIT",
        constructed = "true",
        optional = "true"
    )]
    revoked: Option<Vec<Any>>,
    /// Who signed; one, for a stamp.
    pub(crate) signers: SetOfVec<Any>,
}

/// EncapsulatedContentInfo (RFC 5652, section 5.2).
#[derive(Sequence)]
pub(crate) struct SignedContent {
    /// What it is.
    pub(crate) content_type: ObjectIdentifier,
    /// An octet string with it.
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    pub(crate) content: Option<Any>,
}

/// SignerInfo (RFC 5652, section 5.3) with its attributes as they came.
#[derive(Sequence)]
pub(crate) struct Signer {
    /// 1 or 3, by the kind of `id`.
    pub(crate) version: u8,
    /// Whose certificate.
    pub(crate) id: SignerId,
    /// The digest of the content.
    pub(crate) digest: AlgorithmIdentifierOwned,
    /// Signed attributes.
    #[asn1(
        context_specific = "0",
        tag_mode = "IMPLICIT",
        constructed = "true",
        optional = "true"
    )]
    pub(crate) signed: Option<Vec<Any>>,
    /// How it is signed.
    pub(crate) algorithm: AlgorithmIdentifierOwned,
    /// The signature over the signed attributes.
    pub(crate) signature: OctetString,
    #[asn1(
        context_specific = "1",
        tag_mode = "IMPLICIT",
        constructed = "true",
        optional = "true"
    )]
    unsigned: Option<Vec<Any>>,
}

/// SignerIdentifier.
#[derive(Choice)]
pub(crate) enum SignerId {
    /// By who issued the certificate, and its number there.
    IssuerAndSerialNumber(IssuerAndSerialNumber),
    /// By the identifier of its key.
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT")]
    SubjectKeyIdentifier(SubjectKeyIdentifier),
}

/// IssuerAndSerialNumber (RFC 5652, section 10.2.4).
#[derive(Sequence)]
pub(crate) struct IssuerAndSerialNumber {
    /// Who issued it.
    pub(crate) issuer: Name,
    /// Its number there.
    pub(crate) serial_number: SerialNumber,
}

/// TSTInfo, the time as it came: fractions of a second are allowed in it, but not by every reader.
#[derive(Sequence)]
pub(crate) struct Info {
    version: TspVersion,
    /// Under which policy it was stamped.
    pub(crate) policy: ObjectIdentifier,
    /// What was stamped.
    pub(crate) imprint: Imprint,
    /// The authority's own number for it.
    pub(crate) serial: Int,
    /// When, a GeneralizedTime.
    pub(crate) time: Any,
    /// How far off the time may be.
    #[asn1(optional = "true")]
    pub(crate) accuracy: Option<StatedAccuracy>,
    #[asn1(default = "Default::default")]
    ordering: bool,
    /// The request's nonce.
    #[asn1(optional = "true")]
    pub(crate) nonce: Option<Int>,
    /// The authority's name.
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    pub(crate) authority: Option<GeneralName>,
    /// More.
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) extensions: Option<Extensions>,
}

/// Accuracy, as it came.
#[derive(Sequence)]
pub(crate) struct StatedAccuracy {
    /// Seconds.
    #[asn1(optional = "true")]
    pub(crate) seconds: Option<u64>,
    /// Thousandths, 1 to 999.
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) millis: Option<i16>,
    /// Millionths, 1 to 999.
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    pub(crate) micros: Option<i16>,
}
