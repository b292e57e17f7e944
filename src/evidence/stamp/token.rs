//! A time-stamp reply taken apart, with the bytes kept as they came.

use der::Any;
use der::Decode as _;
use der::Encode as _;
use der::Tag;
use der::Tagged as _;
use der::oid::ObjectIdentifier;
use x509_cert::attr::Attribute;
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::evidence::stamp::asn1::Info;
use crate::evidence::stamp::asn1::Reply;
use crate::evidence::stamp::asn1::SignedData;
use crate::evidence::stamp::asn1::Signer;
use crate::evidence::stamp::asn1::SignerId;
use crate::evidence::stamp::asn1::Status;
use crate::evidence::stamp::cert::Cert;
use crate::evidence::stamp::cert::plain;
use crate::evidence::stamp::fault::StampFault;

/// Longest reply, in bytes; real ones have 2 to 10 thousand.
pub const REPLY_MAX: usize = 1 << 20;

/// Most certificates looked at in one reply.
const CERTS_MAX: usize = 32;

const SIGNED_DATA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.7.2");

/// id-ct-TSTInfo (RFC 3161, section 2.4.2).
pub(crate) const TST_INFO: ObjectIdentifier =
    ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");

/// What a reply holds.
pub(crate) struct Token {
    /// TSTInfo, read.
    pub(crate) info: Info,
    /// TSTInfo, the bytes.
    pub(crate) content: Vec<u8>,
    /// Certificates that could be read.
    pub(crate) certs: Vec<Cert>,
    /// Who signed.
    pub(crate) signer: SignerId,
    /// The digest the content was signed by.
    pub(crate) digest: ObjectIdentifier,
    /// The signed attributes, read.
    pub(crate) attributes: Vec<Attribute>,
    /// The signed attributes, the bytes that were signed.
    pub(crate) signed: Vec<u8>,
    /// How.
    pub(crate) algorithm: AlgorithmIdentifierOwned,
    /// The signature.
    pub(crate) signature: Vec<u8>,
}

impl Token {
    /// Takes a reply apart.
    ///
    /// # Errors
    /// When it was not granted or has another shape.
    pub(crate) fn read(reply: &[u8]) -> Result<Self, StampFault> {
        if reply.len() > REPLY_MAX {
            return Err(StampFault::Long);
        }
        let reply = Reply::from_der(reply).map_err(|_| StampFault::Shape("its outermost part"))?;
        granted(&reply.status)?;
        let token = reply.token.ok_or(StampFault::Shape("it holds no stamp"))?;
        if token.content_type != SIGNED_DATA {
            return Err(StampFault::Shape("its stamp is not signed"));
        }
        let data: SignedData = token
            .content
            .decode_as()
            .map_err(|_| StampFault::Shape("its signed part"))?;
        let content = content(&data)?;
        let info = Info::from_der(&content).map_err(|_| StampFault::Shape("its statement"))?;
        if info.extensions.iter().flatten().any(|it| it.critical) {
            return Err(StampFault::Shape("it sets a condition unknown here"));
        }
        let [signer] = data.signers.as_slice() else {
            return Err(StampFault::Signers);
        };
        let signer: Signer = signer
            .decode_as()
            .map_err(|_| StampFault::Shape("its signer"))?;
        if signer.version != signer_version(&signer.id) {
            return Err(StampFault::Shape("the version of its signer"));
        }
        let (attributes, signed) = attributes(signer.signed)?;
        Ok(Self {
            info,
            content,
            certs: certs(data.certificates.unwrap_or_default())?,
            signer: signer.id,
            digest: signer.digest.oid,
            attributes,
            signed,
            algorithm: signer.algorithm,
            signature: signer.signature.as_bytes().to_vec(),
        })
    }

    /// The one value of a signed attribute that must be there once.
    ///
    /// # Errors
    /// When it is there another number of times.
    pub(crate) fn attribute(
        &self,
        oid: &ObjectIdentifier,
        what: &'static str,
    ) -> Result<&Any, StampFault> {
        self.maybe_attribute(oid, what)?
            .ok_or(StampFault::Attribute(what))
    }

    /// The one value of a signed attribute that may be there once.
    ///
    /// # Errors
    /// When it is there several times, or with several values.
    pub(crate) fn maybe_attribute(
        &self,
        oid: &ObjectIdentifier,
        what: &'static str,
    ) -> Result<Option<&Any>, StampFault> {
        let mut all = self.attributes.iter().filter(|it| it.oid == *oid);
        let Some(first) = all.next() else {
            return Ok(None);
        };
        match (all.next(), first.values.as_slice()) {
            (None, [value]) => Ok(Some(value)),
            _ => Err(StampFault::Attribute(what)),
        }
    }
}

/// Granted is 0, granted with changes 1 (RFC 3161, section 2.4.2).
fn granted(status: &Status) -> Result<(), StampFault> {
    if status.status <= 1 {
        return Ok(());
    }
    let failure = status.failure.iter().flat_map(|it| it.bits().enumerate());
    let failure = failure.filter(|it| it.1).find_map(|it| meaning(it.0));
    let said = status.text.iter().flatten().map(|it| plain(it));
    let mut words: Vec<String> = failure.map(str::to_owned).into_iter().chain(said).collect();
    if words.is_empty() {
        words.push(format!("it gives no reason (status {})", status.status));
    }
    Err(StampFault::Refused(words.join("; ")))
}

/// PKIFailureInfo, as far as RFC 3161, section 2.4.2, uses it.
fn meaning(bit: usize) -> Option<&'static str> {
    Some(match bit {
        0 => "it does not know the digest",
        2 => "it does not take such requests",
        5 => "it could not read the request",
        14 => "its clock is out of order",
        15 => "it does not have the policy",
        16 => "it does not know an extension",
        17 => "it cannot give what was asked beside the stamp",
        25 => "it is out of order",
        _ => return None,
    })
}

fn content(data: &SignedData) -> Result<Vec<u8>, StampFault> {
    if data.version != 3 || data.content.content_type != TST_INFO {
        return Err(StampFault::Shape("it is signed, but no stamp"));
    }
    let content = data.content.content.as_ref();
    let content = content.filter(|it| it.tag() == Tag::OctetString);
    let content = content.ok_or(StampFault::Shape("its statement is missing"))?;
    Ok(content.value().to_vec())
}

/// RFC 5652, section 5.3.
fn signer_version(id: &SignerId) -> u8 {
    match id {
        SignerId::IssuerAndSerialNumber(_) => 1,
        SignerId::SubjectKeyIdentifier(_) => 3,
    }
}

/// The attributes and the bytes that are signed: those that came, under the tag of a SET (RFC 5652, section 5.4).
fn attributes(signed: Option<Vec<Any>>) -> Result<(Vec<Attribute>, Vec<u8>), StampFault> {
    let wrong = |_| StampFault::Shape("its signed attributes");
    let signed = signed.ok_or(StampFault::Attribute("signed attributes"))?;
    let mut bytes = Vec::new();
    for it in &signed {
        it.encode_to_vec(&mut bytes).map_err(wrong)?;
    }
    let read: Result<_, _> = signed.iter().map(|it| it.decode_as()).collect();
    let bytes = Any::new(Tag::Set, bytes).and_then(|it| it.to_der());
    Ok((read.map_err(wrong)?, bytes.map_err(wrong)?))
}

/// Certificates that can be read; of the other kinds, which are never needed, none.
fn certs(all: Vec<Any>) -> Result<Vec<Cert>, StampFault> {
    if all.len() > CERTS_MAX {
        return Err(StampFault::TooMany);
    }
    let plain = all.iter().filter(|it| it.tag() == Tag::Sequence);
    Ok(plain
        .filter_map(|it| Cert::read(&it.to_der().ok()?))
        .collect())
}
