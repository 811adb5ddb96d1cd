package bellpush.config.model;

/** A property of a device of the site, written {@code mixer.key.fill}: the device's name, then the property's. */
public record PropertyRef(String device, String property) implements Comparable<PropertyRef> {
    @Override
    public int compareTo(PropertyRef other) {
        int byDevice = device.compareTo(other.device);
        return byDevice != 0 ? byDevice : property.compareTo(other.property);
    }

    @Override
    public String toString() {
        return device + "." + property;
    }
}
