//! Time stamps by RFC 3161: the request for a statement, and the check of an authority's reply.
//!
//! A checked stamp says: an authority that a given root stands behind had these very bytes before it no later than the
//! time it states. Revocation is not looked up: no list is fetched, so a stamp of a stolen key passes here.

use der::Any;
use der::Decode as _;
use der::Encode as _;
use der::Reader as _;
use der::SliceReader;
use der::Tag;
use der::Tagged as _;
use der::asn1::Int;
use der::asn1::OctetString;
use der::oid::ObjectIdentifier;
use sha1::Digest as _;
use x509_cert::ext::pkix::SubjectKeyIdentifier;
use x509_cert::ext::pkix::name::GeneralName;
use x509_cert::serial_number::SerialNumber;
use x509_cert::spki::AlgorithmIdentifierOwned;
use x509_cert::time::Time;

use crate::evidence::stamp::asn1::Imprint;
use crate::evidence::stamp::asn1::SignerId;
use crate::evidence::stamp::asn1::TimeStampReq;
use crate::evidence::stamp::asn1::TspVersion;
use crate::evidence::stamp::cert::Cert;
use crate::evidence::stamp::cert::spoken;
use crate::evidence::stamp::chain::Search;
use crate::evidence::stamp::fault::StampFault;
use crate::evidence::stamp::sign::Hash;
use crate::evidence::stamp::sign::Signed;
use crate::evidence::stamp::time::Accuracy;
use crate::evidence::stamp::time::StampTime;
use crate::evidence::stamp::token::TST_INFO;
use crate::evidence::stamp::token::Token;
use crate::kit::clock::Moment;

const SHA256: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.16.840.1.101.3.4.2.1");

/// Signed attributes (RFC 5652, section 11; RFC 2634, section 5.4; RFC 5035, section 3).
const CONTENT_TYPE: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.3");
const MESSAGE_DIGEST: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.4");
const SIGNING_TIME: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.5");
const SIGNING_CERT: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.12");
const SIGNING_CERT_V2: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.47");

/// Certificates that the user gives; each in DER, or one or more in PEM.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// Roots that are trusted.
    pub roots: &'a [&'a [u8]],
    /// Others that may be missing in the reply.
    pub extra: &'a [&'a [u8]],
}

/// What a checked reply shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// When, by the authority.
    pub time: StampTime,
    /// How far off that may be; `None` when the authority does not say.
    pub accuracy: Option<Accuracy>,
    /// The policy it was made under, such as `1.3.6.1.4.1.1.2`.
    pub policy: String,
    /// The authority's number for it, in hex.
    pub serial: String,
    /// The authority, by its certificate.
    pub authority: String,
    /// The names from the authority's certificate to the root.
    pub chain: Vec<String>,
}

/// Writes a request for a statement: its SHA-256, a nonce, and the wish for the authority's certificate; DER.
///
/// The nonce makes a reply the reply to this request; it should be random. Of its 128 bits the upper two are set to `01`, so
/// that it is a positive number of full length.
#[must_use]
pub fn request(statement: &[u8], mut nonce: [u8; 16]) -> Vec<u8> {
    nonce[0] = nonce[0] & 0x7f | 0x40;
    let request = TimeStampReq {
        version: TspVersion::V1,
        imprint: Imprint {
            hash_algorithm: AlgorithmIdentifierOwned {
                oid: SHA256,
                parameters: Some(Any::null()),
            },
            hashed_message: OctetString::new(Hash::Sha256.digest(statement))
                .expect("32 bytes are an octet string"),
        },
        policy: None,
        nonce: Some(Int::new(&nonce).expect("a positive number of 16 bytes is an integer")),
        wants_certificate: true,
        extensions: None,
    };
    request
        .to_der()
        .expect("a request of 77 bytes can be written")
}

/// Checks a reply: that it stamps the statement, answers the request, and that a given root stands behind who signed it.
///
/// Without its request a reply is still for the statement, which its digest shows; only that it is no older reply is not checked.
///
/// # Errors
/// What is wrong with it.
pub fn check_reply(
    statement: &[u8],
    request: Option<&[u8]>,
    reply: &[u8],
    given: &Given<'_>,
) -> Result<Stamp, StampFault> {
    let request = request.map(|it| read_request(statement, it)).transpose()?;
    let mut token = Token::read(reply)?;
    stamps(&token, statement)?;
    if let Some(request) = request {
        answers(&token, &request)?;
    }
    let time = StampTime::read(&token.info.time).ok_or(StampFault::Shape("its time"))?;
    let accuracy = token.info.accuracy.as_ref().map(Accuracy::read);
    if accuracy == Some(None) {
        return Err(StampFault::Shape("its accuracy"));
    }
    let roots = read_given(given.roots)?;
    let mut others = std::mem::take(&mut token.certs);
    others.extend(read_given(given.extra)?);
    let signer = signed_by(&token, others.iter().chain(&roots))?;
    signer.only_for_stamps()?;
    signing_time(&token, signer)?;
    let search = Search {
        roots: &roots,
        others: &others,
        unix: time.second.unix(),
    };
    let chain = search.chain(signer)?;
    Ok(Stamp {
        time,
        accuracy: accuracy.flatten(),
        policy: token.info.policy.to_string(),
        serial: hex(token.info.serial.as_bytes()),
        authority: signer.name(),
        chain,
    })
}

/// The first whole second not before the time that a reply says, nothing of it checked; `None` when it cannot be read.
#[must_use]
pub fn says(reply: &[u8]) -> Option<Moment> {
    let token = Token::read(reply).ok()?;
    let accuracy = token.info.accuracy.as_ref().map(Accuracy::read);
    StampTime::read(&token.info.time)?.at_latest(accuracy.flatten())
}

/// Whether bytes are certificates, as PEM or DER, so that they can be given as roots.
#[must_use]
pub fn is_given(bytes: &[u8]) -> bool {
    read_given(&[bytes]).is_ok_and(|it| !it.is_empty())
}

fn read_given(all: &[&[u8]]) -> Result<Vec<Cert>, StampFault> {
    let mut certs = Vec::new();
    for one in all {
        certs.extend(Cert::read_given(one)?);
    }
    Ok(certs)
}

/// A request of ours, for the statement.
fn read_request(statement: &[u8], request: &[u8]) -> Result<TimeStampReq, StampFault> {
    let request = TimeStampReq::from_der(request).map_err(|_| StampFault::Request)?;
    let imprint = &request.imprint;
    if request.nonce.is_none() || imprint.hash_algorithm.oid != SHA256 {
        return Err(StampFault::Request);
    }
    let same = imprint.hashed_message.as_bytes() == Hash::Sha256.digest(statement);
    same.then_some(request).ok_or(StampFault::RequestOther)
}

/// The stamp is for the statement.
fn stamps(token: &Token, statement: &[u8]) -> Result<(), StampFault> {
    let imprint = &token.info.imprint;
    let digest = &imprint.hash_algorithm.oid;
    let hash = Hash::of_oid(digest).ok_or_else(|| StampFault::WeakImprint(digest.to_string()))?;
    let same = imprint.hashed_message.as_bytes() == hash.digest(statement);
    same.then_some(()).ok_or(StampFault::OtherBytes)
}

/// The stamp is for this request.
fn answers(token: &Token, request: &TimeStampReq) -> Result<(), StampFault> {
    let info = &token.info;
    if info.nonce != request.nonce {
        return Err(StampFault::Nonce);
    }
    if request.policy.is_some_and(|it| it != info.policy) {
        return Err(StampFault::Policy);
    }
    Ok(())
}

/// The certificate whose key signed the token, after all that the signature covers has been checked.
fn signed_by<'a>(
    token: &Token,
    mut certs: impl Iterator<Item = &'a Cert>,
) -> Result<&'a Cert, StampFault> {
    let signer = certs
        .find(|it| is_meant(it, &token.signer))
        .ok_or(StampFault::NoSigner)?;
    let unknown = |what: &ObjectIdentifier| StampFault::Algorithm {
        whose: "the reply".to_owned(),
        what: what.to_string(),
    };
    let hash = Hash::of_oid(&token.digest).ok_or_else(|| unknown(&token.digest))?;
    let kind = token.attribute(&CONTENT_TYPE, "content type")?;
    if kind.decode_as() != Ok(TST_INFO) {
        return Err(StampFault::Attribute("content type"));
    }
    let digest = token.attribute(&MESSAGE_DIGEST, "message digest")?;
    if digest.tag() != Tag::OctetString || digest.value() != hash.digest(&token.content) {
        return Err(StampFault::Changed);
    }
    names_certificate(token, signer)?;
    let signed = Signed {
        whose: signer.name(),
        by: &signer.der,
        key: signer.it.tbs_certificate().subject_public_key_info(),
        algorithm: &token.algorithm,
        beside: Some(hash),
        message: &token.signed,
        signature: &token.signature,
    };
    if !signed.is_right()? {
        return Err(StampFault::Signature);
    }
    same_name(token, signer)?;
    Ok(signer)
}

fn is_meant(cert: &Cert, id: &SignerId) -> bool {
    let tbs = cert.it.tbs_certificate();
    match id {
        SignerId::IssuerAndSerialNumber(id) => {
            *tbs.issuer() == id.issuer && *tbs.serial_number() == id.serial_number
        }
        SignerId::SubjectKeyIdentifier(id) => {
            let own = cert.extension::<SubjectKeyIdentifier>();
            own.is_ok_and(|own| own.is_some_and(|own| own.1 == *id))
        }
    }
}

/// The signing certificate attribute, in its first or second form or both, names this certificate by its digest.
fn names_certificate(token: &Token, signer: &Cert) -> Result<(), StampFault> {
    const WHAT: &str = "signing certificate";
    let first = token.maybe_attribute(&SIGNING_CERT, WHAT)?;
    let second = token.maybe_attribute(&SIGNING_CERT_V2, WHAT)?;
    if first.is_none() && second.is_none() {
        return Err(StampFault::Attribute(WHAT));
    }
    for (attribute, v2) in [(first, Form::Sha1), (second, Form::Named)] {
        let Some(attribute) = attribute else { continue };
        let named = attribute.sequence(|list| {
            let ids: Any = list.decode()?;
            // Policies may follow; they bind nobody here.
            while !list.is_finished() {
                let _: Any = list.decode()?;
            }
            ids.sequence(|ids| {
                let first: Any = ids.decode()?;
                while !ids.is_finished() {
                    let _: Any = ids.decode()?;
                }
                first.sequence(|id| is_named(id, signer, v2))
            })
        });
        match named {
            Ok(true) => {}
            Ok(false) => return Err(StampFault::OtherCertificate),
            Err(_) => return Err(StampFault::Attribute(WHAT)),
        }
    }
    Ok(())
}

/// ESSCertID digests by SHA-1, ESSCertIDv2 by the digest it names, or else by SHA-256.
#[derive(Clone, Copy)]
enum Form {
    Sha1,
    Named,
}

/// One ESSCertID: the digest, and at will the issuer and serial number.
///
/// SHA-1 is enough here: a second certificate of the same digest would need a second preimage, and its key must have signed.
fn is_named(id: &mut SliceReader<'_>, signer: &Cert, form: Form) -> der::Result<bool> {
    let want = match form {
        Form::Sha1 => Some(sha1::Sha1::digest(&signer.der).to_vec()),
        Form::Named if Tag::peek(id)? == Tag::Sequence => {
            let algorithm: AlgorithmIdentifierOwned = id.decode()?;
            Hash::of_oid(&algorithm.oid).map(|it| it.digest(&signer.der))
        }
        Form::Named => Some(Hash::Sha256.digest(&signer.der)),
    };
    let digest: OctetString = id.decode()?;
    let mut same = want.is_some_and(|it| it == digest.as_bytes());
    if !id.is_finished() {
        let tbs = signer.it.tbs_certificate();
        let issuer: Any = id.decode()?;
        same &= issuer.sequence(|it| {
            let names: Vec<GeneralName> = it.decode()?;
            let serial: SerialNumber = it.decode()?;
            let issuer = GeneralName::DirectoryName(tbs.issuer().clone());
            der::Result::Ok(names == [issuer] && serial == *tbs.serial_number())
        })?;
    }
    Ok(same)
}

/// A name of the authority in the stamp is that of its certificate (RFC 3161, section 2.4.2); other kinds of names are not
/// compared, since the certificate is named by its digest.
fn same_name(token: &Token, signer: &Cert) -> Result<(), StampFault> {
    let subject = signer.it.tbs_certificate().subject();
    match &token.info.authority {
        Some(GeneralName::DirectoryName(name)) if spoken(name) != spoken(subject) => {
            Err(StampFault::OtherName)
        }
        _ => Ok(()),
    }
}

/// The signed time of signing, where there is one, lies within the validity of the certificate.
fn signing_time(token: &Token, signer: &Cert) -> Result<(), StampFault> {
    let Some(any) = token.maybe_attribute(&SIGNING_TIME, "time of signing")? else {
        return Ok(());
    };
    let read = any.to_der().and_then(|it| Time::from_der(&it));
    let time = read.map_err(|_| StampFault::Attribute("time of signing"))?;
    let unix = i64::try_from(time.to_unix_duration().as_secs()).unwrap_or(i64::MAX);
    signer.valid_at(unix).map_err(|_| StampFault::SigningTime)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|it| format!("{it:02x}")).collect()
}
