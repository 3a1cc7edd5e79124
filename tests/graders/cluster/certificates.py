"""Certificates for a test: an authority, and what it signs. Made in a moment, thrown away after."""

from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

DAY = timedelta(days=1)
USES = (
    "digital_signature",
    "content_commitment",
    "key_encipherment",
    "data_encipherment",
    "key_agreement",
    "key_cert_sign",
    "crl_sign",
    "encipher_only",
    "decipher_only",
)


class Authority:
    """Signs certificates for whoever asks."""

    def __init__(self, name="An authority of the tests"):
        self.key = ec.generate_private_key(ec.SECP256R1())
        self.name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
        self.certificate = self._signed(self.name, self.key, DAY, is_authority=True)

    def _signed(self, name, key, lasts, is_authority=False):
        now = datetime.now(UTC)
        builder = (
            x509.CertificateBuilder()
            .subject_name(name)
            .issuer_name(self.name)
            .public_key(key.public_key())
            .serial_number(x509.random_serial_number())
            .not_valid_before(now - 2 * DAY)
            .not_valid_after(now + lasts)
            .add_extension(x509.BasicConstraints(is_authority, None), critical=True)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
            .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(self.key.public_key()), critical=False)
        )
        if is_authority:
            uses = dict.fromkeys(USES, False) | {"key_cert_sign": True}
            builder = builder.add_extension(x509.KeyUsage(**uses), critical=True)
        return builder.sign(self.key, hashes.SHA256())

    def folder(self, path, lasts=DAY, password=None):
        """Write ca.pem, cert.pem and key.pem into a new folder, valid for so long from now on, and return it."""
        path.mkdir(parents=True)
        key = ec.generate_private_key(ec.SECP256R1())
        own = self._signed(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, path.name)]), key, lasts)
        pem = serialization.Encoding.PEM
        (path / "ca.pem").write_bytes(self.certificate.public_bytes(pem))
        (path / "cert.pem").write_bytes(own.public_bytes(pem))
        closed = serialization.BestAvailableEncryption(password) if password else serialization.NoEncryption()
        (path / "key.pem").write_bytes(key.private_bytes(pem, serialization.PrivateFormat.PKCS8, closed))
        return path
