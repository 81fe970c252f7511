"""What people write: YAML read with positions into typed, frozen models."""
