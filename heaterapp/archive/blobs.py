"""Where large bodies lie when they do not lie in the database: a folder, or a service that speaks S3.

    s3://bucket/prefix     with the endpoint and the usual AWS variables for keys
    file:///srv/blobs      a folder that every machine of this archive sees

A body lies under its salted digest, so no name is ever used for another body. The
bucket's prefix, or the folder, belongs to one archive alone.
"""

import base64
import hashlib
import os
import re
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import unquote, urlsplit

from heaterapp.archive.errors import BlobsFailed

WAIT_S = 10
TRIES = 3
_DIGEST = re.compile(r"[0-9a-f]{64}")
_BUCKET = re.compile(r"[a-z0-9][a-z0-9.-]{1,61}[a-z0-9]")
_EXPECTED = "s3://bucket/prefix or file:///folder was expected"


class Blobs(Protocol):
    """What a place for bodies can do; each raises BlobsFailed when the place cannot be reached."""

    def put(self, digest: str, body: bytes) -> None:
        """Keep a body for good before returning."""

    def get(self, digest: str) -> bytes | None:
        """Return the body, None where there is none."""

    def size(self, digest: str) -> int | None:
        """Return the body's length in bytes without reading it, None where there is none."""

    def delete(self, digest: str) -> None:
        """Take a body away; harmless to repeat."""


def opened(place: str, endpoint: str | None = None) -> Blobs:
    """Return the place that a setting names.

    place     such as `s3://bucket/prefix` or `file:///srv/blobs`
    endpoint  address of the service, where it is not the usual one
    raises    BlobsFailed that says what was expected
    """
    parts = urlsplit(place)
    if parts.scheme == "file" and not parts.netloc and parts.path.strip("/"):
        return Folder(Path(unquote(parts.path)))
    if parts.scheme == "s3" and _BUCKET.fullmatch(parts.netloc) and not parts.query:
        return Bucket(parts.netloc, parts.path.strip("/"), endpoint)
    raise BlobsFailed(f"The place for blobs is {place[:100]!r}: {_EXPECTED}")


class Folder:
    """Bodies as files, two letters of the digest a folder."""

    def __init__(self, folder: Path):
        self._folder = folder
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as refused:
            raise _failed("cannot be used", refused) from refused

    def put(self, digest: str, body: bytes) -> None:
        file = self._file(digest)
        part = file.with_suffix(".part")
        try:
            file.parent.mkdir(mode=0o700, exist_ok=True)
            with open(part, "wb", opener=_for_the_owner) as written:
                written.write(body)
                written.flush()
                os.fsync(written.fileno())
            os.replace(part, file)
            for folder in (file.parent, self._folder):
                _flush(folder)
        except OSError as refused:
            raise _failed("did not take a file", refused) from refused

    def get(self, digest: str) -> bytes | None:
        try:
            return self._file(digest).read_bytes()
        except FileNotFoundError:
            return None
        except OSError as refused:
            raise _failed("did not give a file", refused) from refused

    def size(self, digest: str) -> int | None:
        try:
            return self._file(digest).stat().st_size
        except FileNotFoundError:
            return None
        except OSError as refused:
            raise _failed("did not give a file", refused) from refused

    def delete(self, digest: str) -> None:
        file = self._file(digest)
        try:
            file.with_suffix(".part").unlink(missing_ok=True)
            file.unlink(missing_ok=True)
        except OSError as refused:
            raise _failed("did not let a file go", refused) from refused

    def _file(self, digest: str) -> Path:
        return self._folder / _checked(digest)[:2] / digest


class Bucket:
    """Bodies as objects of an S3-compatible service."""

    def __init__(self, bucket: str, prefix: str, endpoint: str | None):
        import boto3
        from botocore.config import Config
        from botocore.exceptions import BotoCoreError, ClientError

        # Services other than the first one know neither checksums of later years nor buckets as host names.
        config = Config(
            connect_timeout=WAIT_S, read_timeout=3 * WAIT_S, max_pool_connections=32,
            retries={"max_attempts": TRIES, "mode": "standard"}, s3={"addressing_style": "path"},
            request_checksum_calculation="when_required", response_checksum_validation="when_required",
        )  # fmt: skip
        self._errors = (BotoCoreError, ClientError)
        self._bucket, self._prefix = bucket, f"{prefix}/" if prefix else ""
        try:
            region = os.environ.get("AWS_REGION") or os.environ.get("AWS_DEFAULT_REGION") or "us-east-1"
            self._client = boto3.client("s3", endpoint_url=endpoint, region_name=region, config=config)
        except (BotoCoreError, ValueError) as refused:
            raise _failed("cannot be used", refused) from refused

    def put(self, digest: str, body: bytes) -> None:
        sent = base64.b64encode(hashlib.md5(body, usedforsecurity=False).digest()).decode()
        self._ask("did not take a file", self._client.put_object, digest, Body=body, ContentMD5=sent)

    def get(self, digest: str) -> bytes | None:
        answer = self._ask("did not give a file", self._client.get_object, digest)
        if answer is None:
            return None
        try:
            return answer["Body"].read()
        except (*self._errors, OSError) as refused:
            raise _failed("did not give a file", refused) from refused

    def size(self, digest: str) -> int | None:
        answer = self._ask("did not give a file", self._client.head_object, digest)
        return None if answer is None else int(answer["ContentLength"])

    def delete(self, digest: str) -> None:
        self._ask("did not let a file go", self._client.delete_object, digest)

    def _ask(self, what: str, call: Any, digest: str, **more: Any) -> dict[str, Any] | None:
        try:
            return call(Bucket=self._bucket, Key=self._prefix + _checked(digest), **more)
        except self._errors as refused:
            said = getattr(refused, "response", {}).get("Error", {}).get("Code")
            if said in ("NoSuchKey", "404", "NotFound"):
                return None
            raise _failed(what, refused) from refused


def _checked(digest: str) -> str:
    if not _DIGEST.fullmatch(digest):
        raise BlobsFailed("The place for blobs was asked for a name that is no digest.")
    return digest


def _failed(what: str, why: Exception) -> BlobsFailed:
    reason = why.strerror or type(why).__name__ if isinstance(why, OSError) else str(why)
    return BlobsFailed(f"The place for blobs {what}: {' '.join(reason.split())[:200]}")


def _for_the_owner(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _flush(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
