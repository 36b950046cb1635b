"""An authenticator made of code, and how a visitor's browser keeps its passkey and signs in with it."""

from __future__ import annotations

import hashlib
import json
import struct
from typing import Any

import cbor2
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

ORIGIN, PLACE = "http://localhost", "localhost"
USER_PRESENT, USER_VERIFIED, ATTESTED = 0x01, 0x04, 0x40
NOT_TAKEN = "That passkey was not accepted. Try again, or sign in with your password."


class Key:
    """One passkey, and the device that keeps it."""

    def __init__(self, name: bytes = b"a key"):
        self.secret = ec.generate_private_key(ec.SECP256R1())
        self.id, self.count, self.handle = hashlib.sha256(name).digest(), 0, b""
        self.place, self.origin, self.flags = PLACE, ORIGIN, USER_PRESENT | USER_VERIFIED

    def _data(self, flags: int) -> bytes:
        return hashlib.sha256(self.place.encode()).digest() + struct.pack(">BI", flags, self.count)

    def _client(self, kind: str, challenge: str) -> bytes:
        said = {"type": f"webauthn.{kind}", "challenge": challenge, "origin": self.origin, "crossOrigin": False}
        return json.dumps(said).encode()

    def _told(self, response: dict[str, bytes]) -> dict[str, Any]:
        name = bytes_to_base64url(self.id)
        told = {key: bytes_to_base64url(body) for key, body in response.items()}
        return {"id": name, "rawId": name, "type": "public-key", "response": told, "clientExtensionResults": {}}

    def made(self, options: dict[str, Any]) -> dict[str, Any]:
        """What a browser answers to the options for a new passkey."""
        point = self.secret.public_key().public_numbers()
        cose = {1: 2, 3: -7, -1: 1, -2: point.x.to_bytes(32, "big"), -3: point.y.to_bytes(32, "big")}
        about = b"\0" * 16 + struct.pack(">H", len(self.id)) + self.id + cbor2.dumps(cose)
        whole = {"fmt": "none", "attStmt": {}, "authData": self._data(self.flags | ATTESTED) + about}
        self.handle = base64url_to_bytes(options["user"]["id"])
        client = self._client("create", options["challenge"])
        return self._told({"clientDataJSON": client, "attestationObject": cbor2.dumps(whole)})

    def answer(self, options: dict[str, Any]) -> dict[str, Any]:
        """What a browser answers to the options of the sign-in."""
        self.count += 1
        data, client = self._data(self.flags), self._client("get", options["challenge"])
        signed = self.secret.sign(data + hashlib.sha256(client).digest(), ec.ECDSA(hashes.SHA256()))
        return self._told(
            {"clientDataJSON": client, "authenticatorData": data, "signature": signed, "userHandle": self.handle}
        )


def ask(visitor: Any, path: str) -> dict[str, Any]:
    answer = visitor.post_json(path, {})
    assert answer.status_code == 200, answer.text
    options: dict[str, Any] = json.loads(answer.text)
    return options


def keep(visitor: Any, key: Key) -> Any:
    return visitor.post_json("/account/passkeys", key.made(ask(visitor, "/account/passkeys/options")))


def sign_in(visitor: Any, key: Key, **different: Any) -> Any:
    return visitor.post_json("/sign-in/passkey", key.answer(ask(visitor, "/sign-in/passkey/options")) | different)


def refused(answer: Any) -> bool:
    return answer.status_code == 401 and answer.json == {"error": NOT_TAKEN}
