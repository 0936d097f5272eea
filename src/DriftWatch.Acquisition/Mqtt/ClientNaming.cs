using System.Net;
using System.Security.Cryptography.X509Certificates;
using MQTTnet.Adapter;
using MQTTnet.Diagnostics.Logger;
using MQTTnet.Exceptions;
using MQTTnet.Formatter;
using MQTTnet.Packets;
using MQTTnet.Server;
using MQTTnet.Server.Internal.Adapter;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>
/// Names clients that give no id, as MQTT 3.1.1 wants of a server that lets them in (section 3.1.3.1); the library does so for
/// MQTT 5 only, where the client is told its id. One that wants its session kept is not let in: it would not find it again.
/// </summary>
/// <param name="unreadable">Told of a client whose first packet breaks the protocol, with why: such a one is cut off without a word.</param>
internal sealed class ClientNaming(Action<EndPoint, string> unreadable) : IMqttServerAdapter
{
    private readonly MqttTcpServerAdapter _listener = new();
    private Func<IMqttChannelAdapter, Task>? _handler;

    public Func<IMqttChannelAdapter, Task>? ClientHandler
    {
        get => _handler;
        set
        {
            _handler = value;
            _listener.ClientHandler = value is null ? null : channel => value(new Channel(channel, unreadable));
        }
    }

    public static string NewId() => "unnamed-" + Guid.NewGuid().ToString("n");

    public Task StartAsync(MqttServerOptions options, IMqttNetLogger logger) => _listener.StartAsync(options, logger);

    public Task StopAsync() => _listener.StopAsync();

    public void Dispose() => _listener.Dispose();

    private sealed class Channel(IMqttChannelAdapter inner, Action<EndPoint, string> unreadable) : IMqttChannelAdapter
    {
        private bool _connected;

        public long BytesReceived => inner.BytesReceived;

        public long BytesSent => inner.BytesSent;

        public X509Certificate2 ClientCertificate => inner.ClientCertificate;

        public EndPoint RemoteEndPoint => inner.RemoteEndPoint;

        public EndPoint LocalEndPoint => inner.LocalEndPoint;

        public bool IsSecureConnection => inner.IsSecureConnection;

        public MqttPacketFormatterAdapter PacketFormatterAdapter => inner.PacketFormatterAdapter;

        public async Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken)
        {
            if (_connected)
            {
                return await inner.ReceivePacketAsync(cancellationToken);
            }

            MqttPacket packet;
            try
            {
                packet = await inner.ReceivePacketAsync(cancellationToken);
            }
            catch (MqttProtocolViolationException fault)
            {
                unreadable(RemoteEndPoint, fault.Message);
                throw;
            }

            _connected = true;
            if (packet is MqttConnectPacket { ClientId: null or "", CleanSession: true } connect
                && PacketFormatterAdapter.ProtocolVersion == MqttProtocolVersion.V311)
            {
                connect.ClientId = NewId();
            }

            return packet;
        }

        public Task SendPacketAsync(MqttPacket packet, CancellationToken cancellationToken) => inner.SendPacketAsync(packet, cancellationToken);

        public Task ConnectAsync(CancellationToken cancellationToken) => inner.ConnectAsync(cancellationToken);

        public Task DisconnectAsync(CancellationToken cancellationToken) => inner.DisconnectAsync(cancellationToken);

        public void ResetStatistics() => inner.ResetStatistics();

        public void Dispose() => inner.Dispose();
    }
}
