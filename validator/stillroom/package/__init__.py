"""Package: files to records, and the one opener and the one strict reader."""
