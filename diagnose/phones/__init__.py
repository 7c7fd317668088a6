"""Walks on phones: pages of plain forms for the phones that are on the same Wi-Fi."""
