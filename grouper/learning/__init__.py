"""What results tell of ability: ratings that learn, always as suggestions."""
